package main

import (
	"context"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// choiceFlags are choices about single places of the photo, as they were typed.
type choiceFlags struct {
	leaveOut, add, valueAt []string
	none                   bool
}

func (c *choiceFlags) register(f *pflag.FlagSet) {
	f.StringArrayVar(&c.leaveOut, "leave-out", nil, "leave out what is at `x0,y0,x1,y1` in parts of the photo (0.1,0.6,0.2,0.9); may be repeated")
	f.StringArrayVar(&c.add, "add", nil, "add a shape at `x0,y0,x1,y1,VALUE` in parts of the photo; VALUE 1 is the plan's darkest; may be repeated")
	f.StringArrayVar(&c.valueAt, "value-at", nil, "give the shape at a place of the photo a value, `x,y,VALUE` (0.4,0.5,1); may be repeated")
	f.BoolVar(&c.none, "no-choices", false, "drop the choices about single places that the plan has, before any are added")
}

// withoutChoices is the edit of --no-choices.
func withoutChoices(p plan.Plan, f plan.Frame) plan.Plan {
	p.Choices = plan.Choices{}
	return plan.Fit(p, f)
}

// placed is a choice about one place of the photo, given as a flag.
type placed struct {
	said  string // the flag as it was typed
	what  plan.What
	area  plan.Area  // LeaveOut, Add
	at    plan.Point // GiveValue
	value int        // GiveValue, Add: 1 the darkest
}

// read checks the flags and returns the choices in the order in which they are
// added: what is left out, what is added, what is given a value. k is how many
// values the plan will have; 0: not known yet.
func (c *choiceFlags) read(k int) ([]placed, error) {
	var out []placed
	for _, s := range c.leaveOut {
		area, err := plan.ParseBox(s)
		if err != nil {
			return nil, usagef("--leave-out: %w", err)
		}
		out = append(out, placed{said: "--leave-out " + s, what: plan.LeaveOut, area: area})
	}
	for _, s := range c.add {
		p := placed{said: "--add " + s, what: plan.Add}
		if strings.Count(s, ",") != 4 {
			return nil, usagef("--add %q is not four edges and a value: write x0,y0,x1,y1,VALUE, such as 0.1,0.6,0.2,0.9,1", s)
		}
		end := strings.LastIndexByte(s, ',')
		var err error
		if p.area, err = plan.ParseBox(s[:end]); err != nil {
			return nil, usagef("--add: %w", err)
		}
		if p.value, err = p.number(s[end+1:], k); err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	for _, s := range c.valueAt {
		p := placed{said: "--value-at " + s, what: plan.GiveValue}
		fields := strings.Split(s, ",")
		if len(fields) != 3 {
			return nil, usagef("--value-at %q is not a place and a value: write x,y,VALUE, such as 0.4,0.5,1", s)
		}
		x, okX := part(fields[0])
		y, okY := part(fields[1])
		if !okX || !okY {
			return nil, usagef("the place of --value-at %q does not lie on the photo: write parts of its width and height from 0 to 1, such as 0.4,0.5,1", s)
		}
		var err error
		if p.value, err = p.number(fields[2], k); err != nil {
			return nil, err
		}
		p.at = plan.Point{X: x, Y: y}
		out = append(out, p)
	}
	return out, nil
}

// part reads a part of the photo's width or height, a plain number from 0 to 1.
func part(s string) (float64, bool) {
	s = strings.TrimSpace(s)
	if s == "" || strings.Trim(s, "0123456789.") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil && v <= 1
}

// number reads which of k values is meant, of any number that plans have if k is
// not known.
func (p placed) number(s string, k int) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil || n < 1 || n > plan.MaxK {
		return 0, usagef("the value %q of %s is none: 1 is the plan's darkest, its number of values (at most %d) the lightest, such as %s", s, p.said, plan.MaxK, p.with(1))
	}
	if k > 0 && n > k {
		return 0, p.tooLight(n, k)
	}
	return n, nil
}

func (p placed) tooLight(n, k int) error {
	return usagef("%s asks for value %d, the plan has %d: 1 is the darkest, %d the lightest, such as %s", p.said, n, k, k, p.with(k))
}

// with returns the flag as it would be typed for another value.
func (p placed) with(value int) string {
	return p.said[:strings.LastIndexByte(p.said, ',')+1] + strconv.Itoa(value)
}

// choose adds the choice to a plan just as the studio does: a value is one of
// those that the plan shows, what is added has the tone that its value is painted
// in, and a shape is known by its outline.
func (p placed) choose(ctx context.Context, d *study.Desk, to plan.Plan, f plan.Frame) (plan.Plan, error) {
	c := plan.Choice{What: p.what, Area: p.area}
	if p.what != plan.LeaveOut {
		s, err := d.Make(ctx, to, study.Plan)
		if err != nil {
			return to, err
		}
		tones := s.Figures.Tones
		if len(tones) < plan.MinK {
			return to, usagef("%s: the picture has only one value", p.said)
		}
		if p.value > len(tones) {
			return to, p.tooLight(p.value, len(tones))
		}
		c.Value, c.Of = p.value-1, len(tones)
		if p.what == plan.Add {
			c.Tone = palette.Value(tones[c.Value].Value())
		} else if c.Area, err = p.shape(s.Figures, to, f); err != nil {
			return to, err
		}
	}
	out := plan.Choose(c)(to, f)
	if fitted, _ := c.Fit(); out.Choices == to.Choices && !last(to, fitted) {
		return to, usagef("%s is one too many: the plan has %d choices; --no-choices drops those", p.said, to.Choices.Len())
	}
	return out, nil
}

// last reports whether a choice is the newest of a plan.
func last(p plan.Plan, c plan.Choice) bool {
	list := p.Choices.List()
	return len(list) > 0 && list[len(list)-1] == c
}

// shape returns the outline of the shape at the place.
func (p placed) shape(figures study.Figures, of plan.Plan, f plan.Frame) (plan.Area, error) {
	x0, y0, x1, y1 := of.Rect(f.Photo)
	i := figures.At((p.at.X-x0)/(x1-x0), (p.at.Y-y0)/(y1-y0))
	if i < 0 {
		return plan.Area{}, usagef("the place of %s lies outside the crop, which goes from %.3g,%.3g to %.3g,%.3g: such as --value-at %.2f,%.2f,%d",
			p.said, x0, y0, x1, y1, (x0+x1)/2, (y0+y1)/2, p.value)
	}
	area := figures.Area([]int{i}, of, f.Photo)
	if area.Empty() {
		return area, usagef("the shape at the place of %s is too small to hold on to: --shapes with fewer shapes pulls it together with another", p.said)
	}
	return area, nil
}
