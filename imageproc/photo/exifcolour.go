package photo

// adobeMarked reports whether an EXIF block marks its picture as Adobe RGB: a
// colour space that is not sRGB and the interoperability index R03; or the
// colour space 2, as older cameras wrote.
// Source: DCF 2.0 (JEITA CP-3461B), 4.6; Exif 2.3 (CIPA DC-008-2012), 4.6.6.
func adobeMarked(exif []byte) bool {
	first, ok := readIFD(exif, 0)
	if !ok {
		return false
	}
	inner, ok := first.follow(tagExif)
	if !ok {
		return false
	}
	space, _ := inner.number(tagColorSpace)
	if space == 2 {
		return true
	}
	inter, ok := inner.follow(tagInterop)
	if !ok || space != 65535 {
		return false
	}
	typ, count, value, ok := inter.entry(tagInteropIndex)
	return ok && typ == 2 && count == 4 && string(value[:3]) == "R03"
}
