package sheet

import "atelier/halflid/imageproc/page"

// Compose lays the sheets out, those of one kind after the other in the order of
// Kinds. The same material and options give the same document. Errors say in plain
// words what cannot be done: a kind or an order that there is not, paper too small
// or a panel that takes too many pages of it, a wall without thumbnails. It panics
// on material without masses or without the pictures that a kind needs (see
// Gather).
func Compose(m Material, o Options) (page.Document, error) {
	if m.Map == nil || len(m.Figures.Tones) == 0 {
		panic("sheet: material without masses")
	}
	o, err := o.fitted(m)
	if err != nil {
		return page.Document{}, err
	}
	var leaves []*leaf
	for _, k := range Kinds() {
		if !o.has(k) {
			continue
		}
		more, err := pagesOf(k, m, o)
		if err != nil {
			return page.Document{}, err
		}
		leaves = append(leaves, more...)
	}
	d := page.Document{Title: o.Title, Mark: m.Hash}
	for i, l := range leaves {
		d.Pages = append(d.Pages, l.finish(o.Title, m.Hash, i+1, len(leaves)))
	}
	return d, nil
}

func pagesOf(k Kind, m Material, o Options) ([]*leaf, error) {
	switch k {
	case HandOut:
		return []*leaf{handOut(m, o)}, nil
	case Outline:
		return outlinePages(m, o)
	case Grid:
		return []*leaf{gridPage(m, o)}, nil
	case Values:
		return []*leaf{valuesPage(m, o)}, nil
	case Steps:
		return []*leaf{stepsPage(m, o)}, nil
	default:
		return wallPages(m, o), nil
	}
}
