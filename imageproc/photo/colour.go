package photo

import (
	"errors"
	"fmt"
	"image"
	"math"
	"strings"
)

// colours is how the codes of a picture become light in sRGB.
type colours struct {
	name string                   // for Photo.Profile
	tone [3]func(float64) float64 // nil: sRGB's
	mix  *mixer                   // nil: sRGB's primaries
	note string                   // what the painter should know; "" if nothing
}

// plainSRGB are the colours of a file that says nothing, or says sRGB.
var plainSRGB = colours{name: "sRGB"}

// coloursOfCodes returns what code points mean; ok is false where nothing
// definite is said, so that whatever comes next in rank decides.
func coloursOfCodes(c codes, kind string) (colours, bool) {
	g, name := gamutOf(c.primaries)
	tone, known := toneOfCode(c.transfer)
	switch {
	case name == "" && c.primaries != 2 || !known && c.transfer != 2:
		return colours{name: "sRGB", note: fmt.Sprintf("The colours of this %s are coded in a way that is not known (%d/%d): "+
			"they are taken as sRGB", kind, c.primaries, c.transfer)}, true
	case c.primaries == 2 && c.transfer == 2:
		return colours{}, false
	}
	out := colours{name: name, tone: [3]func(float64) float64{tone, tone, tone}}
	switch {
	case c.primaries == 1 || c.primaries == 2:
		out.name = "sRGB"
		if tone != nil {
			out.name = "BT.709"
		}
	default:
		m, ok := g.toXYZ()
		if !ok {
			panic("photo: primaries without a matrix")
		}
		mix, err := mixOf(m)
		if err != nil {
			panic("photo: primaries without a mixture")
		}
		out.mix = mix
	}
	out.name += map[int]string{4: " gamma 2.2", 5: " gamma 2.8", 8: " linear", 16: " PQ", 18: " HLG"}[c.transfer]
	if out.mix != nil || tone != nil {
		out.note = "The colours were turned from " + out.name + " to sRGB"
	}
	if bright(c.transfer) {
		out.note = fmt.Sprintf("This %s is made for bright displays (%s): what is brighter than white paper is cut off; "+
			"for all its lights export it as an sRGB JPEG", kind, out.name)
	}
	return out, true
}

// coloursOf decides how the colours of a picture are meant, and what to tell
// the painter. What stands higher in rank wins: in a PNG cICP, iCCP, sRGB, then
// gAMA with cHRM (PNG specification, third edition, 4.3); in HEIC and AVIF the
// profile, then the code points; elsewhere the profile, then EXIF's marker.
func coloursOf(kind string, img image.Image, meta metadata) (colours, []string) {
	if _, four := img.(*image.CMYK); four {
		return colours{name: "four inks taken as sRGB"}, []string{fmt.Sprintf("The %s is made for print (four inks): its colours are taken as they are, "+
			"without a printer's profile; for true colours export it as an sRGB JPEG", kind)}
	}
	var notes []string
	use := func(c colours) (colours, []string) {
		if c.note != "" {
			notes = append(notes, c.note)
		}
		return c, notes
	}
	if kind == kindPNG && meta.codes != nil {
		if c, ok := coloursOfCodes(*meta.codes, kind); ok {
			return use(c)
		}
	}
	if len(meta.profile) > 0 {
		c, note := coloursOfProfile(kind, img, meta.profile)
		if note != "" {
			notes = append(notes, note)
		}
		if c.name != "" {
			return use(c)
		}
	}
	if meta.codes != nil {
		if c, ok := coloursOfCodes(*meta.codes, kind); ok {
			return use(c)
		}
	}
	if c, ok := meta.png.colours(); ok && kind == kindPNG {
		return use(c)
	}
	if adobeMarked(meta.exif) {
		return use(adobeRGB())
	}
	return use(plainSRGB)
}

// coloursOfProfile returns the colours of an embedded profile; without a name
// if it cannot be used, as note then says.
func coloursOfProfile(kind string, img image.Image, data []byte) (c colours, note string) {
	p, err := parseProfile(data)
	if err == nil && p.grey && !grey(img) {
		err = errTable
	}
	switch {
	case errors.Is(err, errTable):
		return c, fmt.Sprintf("The colour profile in this %s cannot be applied: its colours are taken as sRGB; "+
			"for true colours export it as an sRGB JPEG", kind)
	case err != nil:
		return c, fmt.Sprintf("The colour profile in this %s is damaged: its colours are taken as sRGB", kind)
	case p.mix == nil && p.tone[0] == nil && p.tone[1] == nil && p.tone[2] == nil:
		return plainSRGB, ""
	}
	name := shortName(p.name)
	c = colours{name: "embedded: " + name, tone: p.tone, mix: p.mix, note: "The colours were turned from " + name + " to sRGB"}
	if p.tables {
		c.note += ", by the simpler of the profile's two descriptions"
	}
	return c, ""
}

// shortName returns a profile's name fit to be shown.
func shortName(s string) string {
	s = strings.TrimSpace(SafeName(s))
	if s == "" {
		return "its own profile"
	}
	const most = 48
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}

// grey reports whether img is of a grey type.
func grey(img image.Image) bool {
	switch img.(type) {
	case *image.Gray, *image.Gray16, *image.Paletted:
		return true
	}
	return false
}

// adobeRGB are the colours that cameras mark in EXIF without a profile.
// Source: Adobe RGB (1998) Color Image Encoding, 4.3.1 and 4.3.4.
func adobeRGB() colours {
	m, _ := gamut{d65, chroma{0.64, 0.33}, chroma{0.21, 0.71}, chroma{0.15, 0.06}}.toXYZ()
	mix, err := mixOf(m)
	if err != nil {
		panic("photo: Adobe RGB without a mixture")
	}
	f := func(c float64) float64 { return math.Pow(c, 563.0/256) }
	return colours{
		name: "Adobe RGB (1998)", tone: [3]func(float64) float64{f, f, f}, mix: mix,
		note: "The colours were turned from Adobe RGB (1998), as the camera marks them, to sRGB",
	}
}

// curves returns c's tables.
func (c colours) curves() *curves {
	if c.mix == nil && c.tone[0] == nil && c.tone[1] == nil && c.tone[2] == nil {
		return srgbCurves()
	}
	return toneCurves(c.tone, c.mix)
}
