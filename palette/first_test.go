package palette

import (
	"fmt"
	"os"
	"os/exec"
	"testing"
)

// firstUses are the ways into the tables that are built at the first use, and
// what they give when nothing was used before.
//
// Source: IEC 61966-2-1:1999 and CIE 15:2004 for code 188 (t01); the entries by
// trying all.
var firstUses = []struct {
	name string
	use  func() string
	want string
}{
	{"Decode8", func() string { return fmt.Sprintf("%.6f", float64(Decode8(188))) }, "0.502886"},
	{"Encode8", func() string { return fmt.Sprint(Encode8(0.502886)) }, "188"},
	{"DecodeTable8", func() string { return fmt.Sprintf("%.6f", DecodeTable8()[188]) }, "0.502886"},
	{"EncodeRow", func() string {
		out := [1]uint8{}
		EncodeRow(out[:], []float32{0.502886})
		return fmt.Sprint(out[0])
	}, "188"},
	{"LightnessRow", func() string { return fmt.Sprintf("%.3f", lightnessOf(0.502886)) }, "76.246"},
	{"Nearest256", func() string { return fmt.Sprint(Nearest256(SRGB{255, 0, 0}), Nearest256(SRGB{8, 8, 8})) }, "196 232"},
	{"Distinct256", func() string { return fmt.Sprint(Distinct256([]SRGB{{8, 8, 8}, {238, 238, 238}})) }, "[232 255]"},
}

// Each is tried in a process of its own, as the first thing that it does.
func TestFirstUse(t *testing.T) {
	if name := os.Getenv("HALFLID_FIRST_USE"); name != "" {
		for _, f := range firstUses {
			if f.name == name {
				if got := f.use(); got != f.want {
					t.Errorf("%s, used first: %s, want %s", name, got, f.want)
				}
			}
		}
		return
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range firstUses {
		cmd := exec.Command(self, "-test.run=^TestFirstUse$")
		cmd.Env = append(os.Environ(), "HALFLID_FIRST_USE="+f.name)
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Errorf("%v\n%s", err, out)
		}
	}
}
