package term

// cellOf returns the size of a cell from that of the window in pixels and in
// cells, and whether it is a believable one; else 1 by 2.
func cellOf(xpixel, ypixel, cols, rows int) (w, h float64, told bool) {
	if xpixel <= 0 || ypixel <= 0 || cols <= 0 || rows <= 0 {
		return 1, 2, false
	}
	w, h = float64(xpixel)/float64(cols), float64(ypixel)/float64(rows)
	if !believable(w, h) {
		return 1, 2, false
	}
	return w, h, true
}

// believable reports whether a cell can have that size: no wider than high and
// at most four times as high.
func believable(w, h float64) bool {
	ratio := h / w
	return w > 0 && w <= 1<<16 && ratio >= 1 && ratio <= 4
}
