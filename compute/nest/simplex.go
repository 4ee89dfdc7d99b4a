package nest

import "math"

// Below these a float is taken for nothing: a pivot, and a reduced cost.
const (
	tinyPivot = 1e-9
	tinyCost  = 1e-9
	reinvert  = 60 // pivots until the inverse is made anew
)

// simplex is the revised simplex method on: minimise the sum of x, each stick
// costing 1, so that patterns times x, less what is cut too many, is the wanted
// counts. Columns come one at a time. (Dantzig and Orchard-Hays, "The product
// form for the inverse in the simplex method", 1954; here with the whole
// inverse, which is small.)
//
// Products are converted to float64 before they are added: the language then
// forbids to fuse the two, and every processor comes to the same plan.
type simplex struct {
	want    []float64
	basis   []column
	inverse [][]float64
	x       []float64 // of the basic columns
	pivots  int

	y  []float64 // room for a direction
	on []int     // and for where a row is not 0
}

// column is a pattern that may be cut, or, with no hold, one piece too many of
// the size at spare, which costs nothing.
type column struct {
	hold  []int
	in    []entry // the same, without what is 0
	spare int
}

// entry is a size, by its place, and how many of it.
type entry struct{ at, n int }

func pattern(hold []int) column { return column{hold: hold, in: entries(hold)} }

func entries(hold []int) []entry {
	var in []entry
	for i, n := range hold {
		if n != 0 {
			in = append(in, entry{i, n})
		}
	}
	return in
}

func (c column) cost() float64 {
	if c.hold == nil {
		return 0
	}
	return 1
}

// newSimplex begins with patterns of one size each, as many as fit and are
// wanted. All counts wanted are 1 or more.
func newSimplex(s set) *simplex {
	m := len(s.size)
	p := &simplex{want: make([]float64, m), x: make([]float64, m), y: make([]float64, m), inverse: make([][]float64, m)}
	for i, w := range s.size {
		hold := make([]int, m)
		hold[i] = min(s.want[i], int(s.room/w))
		p.want[i] = float64(s.want[i])
		p.basis = append(p.basis, pattern(hold))
		p.inverse[i] = make([]float64, m)
	}
	p.invert()
	return p
}

// prices are the duals: what one more piece of each size would cost in sticks.
func (p *simplex) prices() []float64 {
	pi := make([]float64, len(p.basis))
	var rows [][]float64
	for r, c := range p.basis {
		if c.hold != nil {
			rows = append(rows, p.inverse[r])
		}
	}
	// Four rows at once take half the time, in the same order, so that sums stay the same.
	for ; len(rows) >= 4; rows = rows[4:] {
		a, b, c, d := rows[0][:len(pi)], rows[1][:len(pi)], rows[2][:len(pi)], rows[3][:len(pi)]
		for i := range pi {
			pi[i] = pi[i] + a[i] + b[i] + c[i] + d[i]
		}
	}
	for _, row := range rows {
		for i, v := range row {
			pi[i] += v
		}
	}
	return pi
}

func (p *simplex) value() float64 {
	sum := 0.
	for r, c := range p.basis {
		sum += float64(c.cost() * p.x[r])
	}
	return sum
}

// direction is the column in terms of the basis, until the next.
func (p *simplex) direction(c column) []float64 {
	y := p.y
	for r, row := range p.inverse {
		if c.hold == nil {
			y[r] = -row[c.spare]
			continue
		}
		y[r] = 0
		for _, e := range c.in {
			y[r] += float64(row[e.at] * float64(e.n))
		}
	}
	return y
}

// enter takes the column into the basis; false where it finds none to put out.
// Among equal ratios the greatest pivot goes, for the figures' sake.
func (p *simplex) enter(c column) bool {
	y := p.direction(c)
	out, ratio := -1, math.Inf(1)
	for r, v := range y {
		if v < tinyPivot {
			continue
		}
		q := max(p.x[r], 0) / v
		if out < 0 || q < ratio-1e-12 || q <= ratio+1e-12 && v > y[out] {
			out, ratio = r, min(q, ratio)
		}
	}
	if out < 0 {
		return false
	}
	p.basis[out] = c
	p.pivot(out, y)
	if p.pivots++; p.pivots%reinvert == 0 {
		return p.invert()
	}
	for r := range p.x {
		p.x[r] = max(0, p.x[r]-float64(ratio*y[r]))
	}
	p.x[out] = ratio
	return true
}

// pivot makes y the unit column of row out. Most of a row is 0 for long.
func (p *simplex) pivot(out int, y []float64) {
	pivot := p.inverse[out]
	p.on = p.on[:0]
	for i, v := range pivot {
		if v != 0 {
			pivot[i] = v / y[out]
			p.on = append(p.on, i)
		}
	}
	for r, row := range p.inverse {
		if r == out || y[r] == 0 {
			continue
		}
		for _, i := range p.on {
			row[i] -= float64(y[r] * pivot[i])
		}
	}
}

// solve works x out from the inverse, which does away with what errors it has
// gathered.
func (p *simplex) solve() {
	for r, row := range p.inverse {
		sum := 0.
		for i, v := range row {
			sum += float64(v * p.want[i])
		}
		p.x[r] = sum
	}
}

// invert makes the inverse anew, by pivoting the basis in, each column where it
// is greatest among the rows left; false where the basis has become singular.
func (p *simplex) invert() bool {
	m := len(p.basis)
	for r := range p.inverse {
		clear(p.inverse[r])
		p.inverse[r][r] = 1
	}
	placed := make([]column, m)
	taken := make([]bool, m)
	for _, c := range p.basis {
		y := p.direction(c)
		out := -1
		for r := range y {
			if !taken[r] && (out < 0 || math.Abs(y[r]) > math.Abs(y[out])) {
				out = r
			}
		}
		if math.Abs(y[out]) < tinyPivot {
			return false
		}
		taken[out], placed[out] = true, c
		p.pivot(out, y)
	}
	p.basis = placed
	p.solve()
	return true
}
