package nest

// Tube is a tube with slanted ends: its middle line, and how far its ends reach beyond
// that together on the long side, and stay behind on the short one.
type Tube struct{ Middle, Reach float64 }

// And is the tube with another one's at its end.
func (t Tube) And(o Tube) Tube { return Tube{t.Middle + o.Middle, t.Reach + o.Reach} }

// Long is its long side, from point to point.
func (t Tube) Long() float64 { return t.Middle + t.Reach }

// Short is its short side.
func (t Tube) Short() float64 { return t.Middle - t.Reach }

// Times are so many tubes in a row, as of a blank that pies are cut from: their middle
// line, and none of the ends.
func (t Tube) Times(n float64) float64 { return n * t.Middle }

// Sum is what some pieces come to: how many, their length, and what of it stays.
type Sum struct {
	Count        int
	Length, Stay float64
}

// Add adds pieces alike, of a length of which so much stays in the joint.
func (s *Sum) Add(count int, length, stay float64) {
	s.Count += count
	s.Length += float64(count) * length
	s.Stay += float64(count) * stay
}

// More is how many sticks a plan takes over a number that is reckoned with.
func (p Plan) More(sticks float64) float64 { return float64(p.Sticks) - sticks }
