package crops

import (
	"math"

	"atelier/halflid/imageproc/reading"
)

// figures are what practice's questions are answered by, all of a reading or, in
// the first look over many crops, what can be told without one.
type figures struct {
	k            int // values that there are
	shares       []float64
	ruling       int
	ahead        float64 // of the largest share before the next
	next         int     // the value with that share
	apart        float64 // least difference between the shares of two others of 5 % or more; 1 without such a pair
	equal        [2]int  // the pair
	step         float64 // least step between neighbouring tones, Munsell value
	main         int     // shapes that make up nine tenths
	linked       float64 // share of the shadow family that its largest part holds
	masses       int     // of the shadow family
	reach        float64 // how far the darks stay from the focal point, share of the long side; 0: they lie on it
	radius       float64 // of the focal point, share of the long side
	focal        float64 // strength of contrast at the focal point over the strongest elsewhere, up to 9
	stands       float64 // steps by which the clearest shape there stands out
	x, y         float64 // the focal point in the crop
	left         float64 // share of the weight in the left half
	edge         float64 // strongest contrast along a side over the focal point's, up to 9
	corner       float64 // most contrast in one corner, share of it all
	cornerArea   float64 // share of the picture that a corner is
	tangents     int     // shapes that touch a side in passing, or almost
	straights    int
	points, mean float64 // share of straight borders that lead to the focal point, and by chance
}

// mostRatio bounds ratios to what may be nothing.
const mostRatio = 9

// figuresOf reads a reading.
func figuresOf(r reading.Reading) figures {
	v := r.Values
	f := figures{k: len(v.Tones), step: 10, main: r.Simplicity.Main}
	f.setShares(v.Shares)
	for _, s := range v.Steps {
		f.step = min(f.step, s)
	}
	if len(v.Steps) == 0 {
		f.step = 0
	}
	darks := r.Darks.Shadow
	f.linked, f.masses = darks.Largest, darks.Masses
	f.reach, f.radius = 1, r.Focal.Radius
	for _, d := range []reading.Linked{r.Darks.Darkest, darks} {
		if d.Reach >= 0 {
			f.reach = min(f.reach, d.Reach)
		}
	}
	f.focal = ratio(r.Contrast.Focal.Strength, r.Contrast.Elsewhere.Strength)
	for _, s := range r.Contrast.Stands {
		f.stands = max(f.stands, math.Abs(s.Steps))
	}
	f.x, f.y, f.left = r.Focal.X, r.Focal.Y, r.Placement.LeftWeight
	strongest := 0.0
	for _, e := range r.Edges.Sides {
		strongest = max(strongest, e.Strongest.Strength)
	}
	f.edge = ratio(strongest, r.Contrast.Focal.Strength)
	for _, c := range r.Edges.Corners {
		f.corner, f.cornerArea = max(f.corner, c.Share), c.Area
	}
	f.tangents = len(r.Edges.Tangents)
	f.straights, f.points, f.mean = r.Directions.Count, r.Directions.Pointing, r.Directions.Anywhere
	return f
}

// ratio returns a/b up to mostRatio; 0 if both are 0.
func ratio(a, b float64) float64 {
	if a == 0 {
		return 0
	}
	if b == 0 {
		return mostRatio
	}
	return min(mostRatio, a/b)
}

// setShares fills in what the shares of the values tell. Of equal ones the darker
// rules.
func (f *figures) setShares(shares []float64) {
	f.shares, f.ruling, f.ahead, f.next = shares, 0, 1, 0
	for i, v := range shares {
		if v > shares[f.ruling] {
			f.ruling = i
		}
	}
	for i, v := range shares {
		if i != f.ruling && shares[f.ruling]-v < f.ahead {
			f.ahead, f.next = shares[f.ruling]-v, i
		}
	}
	if len(shares) == 1 {
		f.ahead = 0
	}
	f.apart, f.equal = leastApart(shares, f.ruling)
}

// leastCounted is the share below which a value is no partner of another.
const leastCounted = 0.05

// leastApart returns the least difference between the shares of two values of 5 %
// or more, neither of them the ruling one, and which; 1 if there are no two.
func leastApart(shares []float64, ruling int) (apart float64, pair [2]int) {
	apart = 1
	for j := range shares {
		for i := range j {
			d := math.Abs(shares[i] - shares[j])
			if i != ruling && j != ruling && min(shares[i], shares[j]) >= leastCounted && d < apart {
				apart, pair = d, [2]int{i, j}
			}
		}
	}
	return apart, pair
}
