package retouch

import "atelier/halflid/imageproc"

// harvest appends the light of the open pixels, in raster order, held within
// low..high: a membrane never leaves the range of its rim, a solution within
// tolerance might.
func (s *sheet) harvest(out []float32, g *grid, low, high float32) []float32 {
	for y := range g.h {
		row := s.u[(y+1)*g.stride+1:]
		for _, r := range g.runs[g.rows[y]:g.rows[y+1]] {
			for _, v := range row[r.x0:r.x1] {
				out = append(out, min(max(v, low), high))
			}
		}
	}
	return out
}

// write lays r.filled, plane after plane of box after box, into pic. Only now
// is it certain that the work was not stopped.
func (r *Retoucher) write(pic imageproc.Picture, p Patch) {
	from := r.filled
	for _, box := range r.boxes {
		for _, plane := range pic.Planes() {
			for y := box.Min.Y; y < box.Max.Y; y++ {
				row := plane.Row(y)[box.Min.X:box.Max.X]
				for x, marked := range p.row(y, box.Min.X, box.Max.X) {
					if marked {
						row[x], from = from[0], from[1:]
					}
				}
			}
		}
	}
}
