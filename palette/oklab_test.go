package palette

import (
	"math"
	"testing"

	"atelier/halflid/palette/oracle"
)

// Source: Ottosson 2020, table of XYZ and OKLab pairs (3 decimals, of a white
// written as 0.950, 1, 1.089); recomputed in float64 (8 decimals).
func TestPublishedOKLab(t *testing.T) {
	for _, c := range []struct {
		in             XYZ
		short, precise OKLab
	}{
		{XYZ{1, 0, 0}, OKLab{.450, 1.236, -.019}, OKLab{0.44993158, 1.23571021, -0.01902758}},
		{XYZ{0, 1, 0}, OKLab{.922, -.671, .263}, OKLab{0.92181676, -0.67123761, 0.26332355}},
		{XYZ{0, 0, 1}, OKLab{.153, -1.415, -.449}, OKLab{0.15260258, -1.41499655, -0.44892720}},
	} {
		got := c.in.OKLab()
		for _, p := range []struct {
			want OKLab
			tol  float64
		}{{c.short, 5e-4}, {c.precise, 1e-6}} {
			oracle.Close(t, "L", got.L, p.want.L, p.tol)
			oracle.Close(t, "a", got.A, p.want.A, p.tol)
			oracle.Close(t, "b", got.B, p.want.B, p.tol)
		}
	}
	white := XYZ{.950, 1, 1.089}.OKLab()
	oracle.Close(t, "white L", white.L, 1, 5e-4)
	oracle.Close(t, "white a", white.A, 0, 5e-4)
	oracle.Close(t, "white b", white.B, 0, 5e-4)
}

func TestOKLabFormsAgree(t *testing.T) {
	worst := 0.0
	for i := 0; i < 1<<24; i += 4099 {
		c := SRGB{uint8(i >> 16), uint8(i >> 8), uint8(i)}.Linear()
		worst = max(worst, c.OKLab().Distance(c.XYZ().OKLab()))
	}
	oracle.Close(t, "worst distance of the two forms", worst, 0, 4e-4)
}

func TestOKLabInverseMatrices(t *testing.T) {
	product := func(a, b [3][3]float64) {
		t.Helper()
		for i := range 3 {
			for j := range 3 {
				want := 0.0
				if i == j {
					want = 1
				}
				oracle.Close(t, "product of a matrix and its inverse", sum3(a[i][0], b[0][j], a[i][1], b[1][j], a[i][2], b[2][j]), want, 1e-14)
			}
		}
	}
	product([3][3]float64{{okLR, okLG, okLB}, {okMR, okMG, okMB}, {okSR, okSG, okSB}},
		[3][3]float64{{okRL, okRM, okRS}, {okGL, okGM, okGS}, {okBL, okBM, okBS}})
	product([3][3]float64{{okLl, okLm, okLs}, {okAl, okAm, okAs}, {okBl, okBm, okBs}},
		[3][3]float64{{rootLL, rootLA, rootLB}, {rootML, rootMA, rootMB}, {rootSL, rootSA, rootSB}})
	product([3][3]float64{{rgbToXYZ00, rgbToXYZ01, rgbToXYZ02}, {rgbToXYZ10, rgbToXYZ11, rgbToXYZ12}, {rgbToXYZ20, rgbToXYZ21, rgbToXYZ22}},
		[3][3]float64{{xyzToRGB00, xyzToRGB01, xyzToRGB02}, {xyzToRGB10, xyzToRGB11, xyzToRGB12}, {xyzToRGB20, xyzToRGB21, xyzToRGB22}})
}

func TestOKLabDistance(t *testing.T) {
	oracle.Close(t, "3-4-12", OKLab{0, 0, 0}.Distance(OKLab{3, 4, 12}), 13, 0)
	black, white := SRGB{}.Linear().OKLab(), SRGB{255, 255, 255}.Linear().OKLab()
	oracle.Close(t, "black to white", black.Distance(white), 1, 1e-6)
	for g := range 256 {
		c := SRGB{uint8(g), uint8(g), uint8(g)}.Linear().OKLab()
		oracle.Close(t, "grey", math.Hypot(c.A, c.B), 0, 1e-7)
	}
}
