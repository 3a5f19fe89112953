package plan

import (
	"fmt"
	"strconv"

	"atelier/halflid/palette"
)

func (r *reader) file(root node) File {
	if root.kind != isObject {
		r.kind = ErrNotPlan
		r.want(root, "", string(isObject)+", as plan files are")
		return File{}
	}
	o := r.object(root, "", "", "halflid", "version", "photo", "plan", "thumbnails", "choices", "history")
	r.kind = ErrNotPlan
	if _, ok := o.known["halflid"]; !ok {
		r.fail(root.at, "", `this is not a plan file: a plan file begins with "halflid": "plan"`)
	}
	among(o, "halflid", "plan")
	r.kind = nil
	if r.err != nil {
		return File{}
	}
	if n := o.known["version"]; n.kind == isNumber && n.num > Version {
		r.kind = ErrNewer
		r.fail(n.at, "version", "this plan was saved by a newer halflid ("+string(r.data[n.at:n.end])+"; this one reads up to "+strconv.Itoa(Version)+"): open it with that one; it is left as it is")
		return File{}
	}
	o.whole("version", 1, Version)
	var f File
	n, path := o.need("photo")
	f.Photo = r.photo(n, path)
	f.unknown = r.take()
	if n, ok := o.known["choices"]; ok {
		r.choices = r.choiceTable(n, o.join("choices"))
	}
	n, path = o.need("plan")
	f.Plan = r.plan(n, path, f.Photo)
	if n, ok := o.known["thumbnails"]; ok {
		f.Thumbnails = r.thumbnails(n, o.join("thumbnails"), f.Photo, nil)
	}
	if n, ok := o.known["history"]; ok {
		f.history = r.history(n, o.join("history"), f)
	}
	return f
}

func (r *reader) photo(n node, path string) Photo {
	if r.err != nil {
		return Photo{}
	}
	o := r.object(n, path, "photo", "name", "sha256", "width", "height")
	return Photo{
		Name:   o.text("name", "the photo's file name, without a folder, of at most 255 bytes", isPhotoName),
		SHA256: o.text("sha256", "64 digits of 0-9 and a-f", isSHA256),
		Width:  o.whole("width", 1, MaxSide),
		Height: o.whole("height", 1, MaxSide),
	}
}

// thumbnails reads a list of thumbnails; a whole number in it stands for the one
// at that place in kept.
func (r *reader) thumbnails(n node, path string, photo Photo, kept []Thumbnail) []Thumbnail {
	if r.err != nil {
		return nil
	}
	if n.kind != isList {
		r.want(n, path, string(isList))
		return nil
	}
	if len(n.list) > MaxThumbnails {
		r.fail(n.at, path, fmt.Sprintf("%d thumbnails: at most %d are kept", len(n.list), MaxThumbnails))
		return nil
	}
	var out []Thumbnail
	for i, item := range n.list {
		if r.err != nil {
			return nil
		}
		at := fmt.Sprintf("%s[%d]", path, i)
		if item.kind == isNumber && len(kept) > 0 {
			if i := r.whole(item, at, 0, len(kept)-1); r.err == nil {
				out = append(out, kept[i])
			}
			continue
		}
		var t Thumbnail
		o := r.object(item, at, "", "name", "plan")
		t.Name = o.text("name", "a name of 1 to 80 characters without spaces around it", func(s string) bool { return s != "" && lineOf(s) == s })
		t.unknown = r.take()
		pn, ppath := o.need("plan")
		t.Plan = r.plan(pn, ppath, photo)
		out = append(out, t)
	}
	return out
}

func (r *reader) plan(n node, path string, photo Photo) Plan {
	if r.err != nil {
		return Plan{}
	}
	var p Plan
	o := r.object(n, path, "", "crop", "panel", "squint", "values", "shapes", "focus", "choices")
	pn, ppath := o.need("panel")
	p.Panel = r.panel(pn, ppath)
	cn, cpath := o.need("crop")
	p.Crop = r.crop(cn, cpath, p.Panel, photo)
	p.Squint = o.number("squint", 0, MaxSquint)
	vn, vpath := o.need("values")
	p.Values = r.values(vn, vpath)
	sn, spath := o.need("shapes")
	p.Shapes = r.shapes(sn, spath)
	if fn, ok := o.known["focus"]; ok {
		p.Focus = r.focus(fn, o.join("focus"))
	}
	if cn, ok := o.known["choices"]; ok {
		p.Choices = r.chosen(cn, o.join("choices"))
	}
	p.unknown = r.take()
	if r.err != nil {
		return Plan{}
	}
	return Fit(p, photo.Frame())
}

func (r *reader) panel(n node, path string) Panel {
	if r.err != nil {
		return Panel{}
	}
	o := r.object(n, path, "panel", "size", "way")
	const want = `a panel, short side first, such as "6x8 in", "13x18 cm", "A5" or "free"`
	s := o.text("size", want, func(s string) bool {
		p, err := ParsePanel(s)
		return err == nil && (p.Name() == s || sameSize(p, s))
	})
	way := among(o, "way", Upright, Across)
	if r.err != nil {
		return Panel{}
	}
	p, err := ParsePanel(s)
	if err != nil {
		panic("plan: " + err.Error()) // ParsePanel has just taken it
	}
	p.Way = way
	return p
}

// sameSize reports whether s writes p's size in full with its short side first,
// where its name is another: "148x210 mm" for A5.
func sameSize(p Panel, s string) bool {
	return s == number(p.Short)+"x"+number(p.Long)+" "+string(p.Unit)
}

func (r *reader) crop(n node, path string, panel Panel, photo Photo) Crop {
	if r.err != nil {
		return Crop{}
	}
	const least = 1 / cropUnits
	o := r.object(n, path, "crop", "x", "y", "w", "h")
	c := Crop{X: o.number("x", 0, 1), Y: o.number("y", 0, 1), W: o.number("w", least, 1)}
	if panel.Free() {
		c.H = o.number("h", least, 1)
	} else {
		o.not("h", "only a free panel has a height: here it follows from the panel and the width")
	}
	if r.err != nil {
		return Crop{}
	}
	// One step of the last decimal is forgiven at each edge.
	if c.X+c.W > 1+2*least {
		r.fail(n.at, path, "the crop reaches past the photo's right edge: x and w may make 1 at most")
	}
	tall := c.H
	if !panel.Free() {
		w, h := photo.Frame().size()
		tall = (c.W - least) * w / h / panel.Aspect()
	}
	if c.Y+tall > 1+2*least {
		r.fail(n.at, path, "the crop reaches past the photo's lower edge: with this panel it is "+number(round(tall, 1e3))+" of the photo's height")
	}
	return c
}

func (r *reader) values(n node, path string) Values {
	if r.err != nil {
		return Values{}
	}
	o := r.object(n, path, "values", "count", "cuts", "tones")
	v := Values{K: o.whole("count", MinK, MaxK)}
	if r.err != nil {
		return v
	}
	cn, cpath := o.need("cuts")
	c := r.object(cn, cpath, "values.cuts", "method", "at")
	v.CutMethod = among(c, "method", CutMethods()...)
	copy(v.Cuts[:], r.scale(c, v.CutMethod == CutByHand, v.K-1, MinGap, 10-MinGap))
	tn, tpath := o.need("tones")
	if r.err != nil {
		return v
	}
	t := r.object(tn, tpath, "values.tones", "method", "at")
	v.ToneMethod = among(t, "method", ToneMethods()...)
	copy(v.Tones[:], r.scale(t, v.ToneMethod == ToneByHand, v.K, 0, 10))
	return v
}

// scale reads the field "at": n Munsell values in rising order if by hand, none
// otherwise.
func (r *reader) scale(o fields, byHand bool, n int, lo, hi palette.Value) []palette.Value {
	if r.err != nil {
		return nil
	}
	if !byHand {
		o.not("at", `only the method "by hand" has this field`)
		return nil
	}
	at, path := o.need("at")
	if r.err == nil && (at.kind != isList || len(at.list) != n) {
		r.want(at, path, fmt.Sprintf("a list of %d Munsell values for this many values", n))
	}
	if r.err != nil {
		return nil
	}
	out := make([]palette.Value, n)
	for i, item := range at.list {
		p := fmt.Sprintf("%s[%d]", path, i)
		out[i] = palette.Value(round(r.number(item, p, float64(lo), float64(hi)), valueUnits))
		if i > 0 && hundredths(out[i])-hundredths(out[i-1]) < hundredths(MinGap) {
			r.want(item, p, "a Munsell value at least "+number(float64(MinGap))+" above the one before")
		}
	}
	return out
}

func (r *reader) shapes(n node, path string) Shapes {
	if r.err != nil {
		return Shapes{}
	}
	o := r.object(n, path, "shapes", "wanted", "brush_mm")
	return Shapes{Wanted: o.whole("wanted", 0, MaxWanted), Brush: o.number("brush_mm", 0, MaxBrush)}
}

func (r *reader) focus(n node, path string) Focus {
	if r.err != nil {
		return Focus{}
	}
	o := r.object(n, path, "focus", "x", "y", "radius", "fall")
	f := Focus{X: o.number("x", 0, 1), Y: o.number("y", 0, 1), Radius: o.number("radius", minRadius, MaxRadius)}
	if _, ok := o.known["fall"]; ok {
		f.Fall = among(o, "fall", FallGentle, FallStrong)
	}
	return f
}
