package page_test

import (
	"io"
	"strings"
	"testing"

	"atelier/halflid/imageproc/page"
	"atelier/halflid/palette/oracle"
)

// Published: t10_formats.csv (ISO 216:2007 trimmed sizes, ANSI/ASME Y14.1).
func TestPapersArePublished(t *testing.T) {
	rows := map[string]oracle.Row{}
	for _, r := range oracle.Load(t, "t10_formats.csv", 30).Rows {
		rows[strings.ToLower(r.Text(t, "name"))] = r
	}
	for _, p := range page.Papers() {
		r, ok := rows[p.Name]
		if !ok {
			t.Errorf("%s is not in the table", p.Name)
			continue
		}
		mm := 1.0
		if r.Text(t, "unit") == "in" {
			mm = 25.4
		}
		oracle.Close(t, p.Name+" width", p.W, r.Num(t, "short")*mm, 1e-9)
		oracle.Close(t, p.Name+" height", p.H, r.Num(t, "long")*mm, 1e-9)
	}
}

// Six pages of 24 outlines of 60 curves each.
func BenchmarkPDFSixPages(b *testing.B) {
	var items []page.Item
	for i := range 24 {
		l := page.Line{Closed: true}
		x, y := 20+float64(i%6)*28, 20+float64(i/6)*50
		at := func(j int) page.Point { return page.Point{X: x + float64(j*7%20), Y: y + float64(j*11%40)} }
		for j := range 60 {
			from, to := at(j), at((j+1)%60)
			l.Segments = append(l.Segments, page.Segment{From: from, C1: page.Point{X: to.X, Y: from.Y}, C2: page.Point{X: from.X, Y: to.Y}, To: to})
		}
		items = append(items, page.Path{Lines: []page.Line{l}, Stroke: page.Grey(0), Width: 0.2})
	}
	d := page.Document{Title: "six"}
	for range 6 {
		d.Pages = append(d.Pages, page.Page{Name: "a", W: 210, H: 297, Layers: []page.Layer{{ID: "a", Items: items}}})
	}
	for b.Loop() {
		if err := page.WritePDF(io.Discard, d); err != nil {
			b.Fatal(err)
		}
	}
}
