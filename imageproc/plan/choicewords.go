package plan

import "fmt"

// Words returns the choice as one short line for a list on screen, without the
// place and without whether it is switched off: "left out", "copied, mirrored",
// "value 2 of 3". Values count from 1, the darkest. Empty for the zero Choice.
func (c Choice) Words() string {
	switch c.What {
	case LeaveOut:
		return "left out"
	case Move:
		return "moved" + c.changed()
	case Copy:
		return "copied" + c.changed()
	case Add:
		return "added, " + c.valueWords()
	case GiveValue:
		return c.valueWords()
	case Together:
		return "pulled together"
	case Apart:
		return "kept apart"
	case Detail:
		if c.Shapes == 1 {
			return "one shape here"
		}
		return fmt.Sprintf("at most %d shapes here", c.Shapes)
	case Outline:
		if c.Smooth == 0 {
			return "outline as in the photo"
		}
		return "outline smoothed " + number(c.Smooth) + " %"
	case PlaneIs:
		return "plane: " + string(c.Plane)
	case DepthIs:
		return "depth: " + string(c.Depth)
	}
	return ""
}

// changed says how what is moved or copied is changed.
func (c Choice) changed() string {
	s := ""
	if c.Scale != 1 && c.Scale != 0 {
		s += ", " + number(c.Scale) + " times as large"
	}
	if c.Mirror {
		s += ", mirrored"
	}
	return s
}

func (c Choice) valueWords() string {
	end := ""
	switch c.Value {
	case 0:
		end = " (darkest)"
	case c.Of - 1:
		end = " (lightest)"
	}
	return fmt.Sprintf("value %d of %d%s", c.Value+1, c.Of, end)
}
