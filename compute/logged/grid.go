package logged

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// freedom is that of Student's t by which a car is spread about the others: small
// enough to let a car far off go, large enough to lose little where none is. Lange,
// Little and Taylor, "Robust Statistical Modeling Using the t Distribution", 1989
// (from memory), take about 4.
const freedom = 6

// row is one logged amount: its logarithm over the estimate's, and by what weights
// the unknowns are in it.
type row struct {
	x     []float64
	y     float64
	scale float64 // of the squared scatter
	known float64 // squared scatter that is known beforehand
	place int     // in the run, for the learning; 0 where not known
	hand  float64 // share that is learned
}

// problem is what a fit goes by.
type problem struct {
	groups [][]row // those of one car
	size   int     // unknowns
	prior  *normal // of them; nil for none
	slope  int     // the unknown that is the learning exponent, -1 for none
	fixed  float64 // the exponent where it is none of them
	nu     float64
	// The scatter of cars, and that within a car, are half-normal with these; a car
	// scatter of 0 is none.
	usual [2]float64
}

// normal is a normal distribution of the unknowns.
type normal struct {
	mean []float64
	root *mat.Dense // of the precision: root'*root
	half float64    // half the logarithm of the precision's determinant
}

// newNormal takes a covariance, which is to be positive definite.
func newNormal(mean []float64, cov *mat.SymDense) (*normal, bool) {
	var c mat.Cholesky
	if !c.Factorize(cov) {
		return nil, false
	}
	var l mat.TriDense
	c.LTo(&l)
	var inverse mat.TriDense
	if err := inverse.InverseTri(&l); err != nil {
		return nil, false
	}
	root := mat.DenseCopyOf(&inverse)
	return &normal{mean, root, -c.LogDet() / 2}, true
}

// point is the fit at one pair of scatters.
type point struct {
	car, within float64
	log         float64 // of its posterior density, but for a constant
	mean        []float64
	cov         *mat.SymDense
	weights     []float64 // of the groups
}

// unit is the minutes of one place in a run over those of the first, where cumulative
// means fall by a power (T. P. Wright, "Factors Affecting the Cost of Airplanes", 1936,
// from memory), and its derivative.
func unit(place int, power float64) (over, by float64) {
	k := float64(place)
	if k <= 1 {
		return 1, 0
	}
	a, b := math.Pow(k, 1+power), math.Pow(k-1, 1+power)
	return a - b, a*math.Log(k) - b*math.Log(k-1)
}

// learned is the logarithm of a stage's minutes over those of a first car, where a
// share of it is learned, and its derivative.
func learned(over, by, hand float64) (log, slope float64) {
	all := hand*over + 1 - hand
	return math.Log(all), hand * by / all
}

// work is room for one fit, used again.
type work struct {
	a       *mat.Dense
	y       []float64
	x, diag []float64
	h       *mat.SymDense
	power   float64 // of the units
	units   map[int][2]float64
}

// unit is [unit], worked out once for each place.
func (w *work) unit(place int, power float64) [2]float64 {
	if power != w.power || w.units == nil {
		w.power, w.units = power, map[int][2]float64{}
	}
	u, known := w.units[place]
	if !known {
		u[0], u[1] = unit(place, power)
		w.units[place] = u
	}
	return u
}

// power is the learning exponent.
func (p *problem) power(at []float64) float64 {
	if p.slope >= 0 {
		return at[p.slope]
	}
	return p.fixed
}

func (p *problem) work() *work {
	n := 0
	for _, g := range p.groups {
		n += len(g)
	}
	if p.prior != nil {
		n += p.size
	}
	return &work{a: mat.NewDense(n, p.size, nil), y: make([]float64, n), x: make([]float64, p.size), diag: make([]float64, n), h: mat.NewSymDense(p.size, nil)}
}

// logDet is the logarithm of the determinant of the groups' scatters.
func (p *problem) logDet(car, within float64) (log float64) {
	for _, g := range p.groups {
		product, s := 1.0, 0.0
		for _, r := range g {
			v := within*within*r.scale + r.known
			product *= v
			s += car * car / v
		}
		log += math.Log(product * (1 + s))
	}
	return log
}

// whiten fills the rows of the groups, each by the root of its scatter's inverse,
// and the prior's below them.
func (p *problem) whiten(w *work, car, within float64, at []float64) {
	power := p.power(at)
	n, raw := 0, w.a.RawMatrix().Data
	for _, g := range p.groups {
		first, s := n, 0.0
		for _, r := range g {
			v := within*within*r.scale + r.known
			root := 1 / math.Sqrt(v)
			x := raw[n*p.size : (n+1)*p.size]
			copy(x, r.x)
			y := r.y
			if u := w.unit(r.place, power); u != [2]float64{1, 0} {
				log, by := learned(u[0], u[1], r.hand)
				y -= log
				if p.slope >= 0 {
					y += by * power
					x[p.slope] = by
				}
			}
			for j := range x {
				x[j] *= root
			}
			w.y[n], w.diag[n] = y*root, car*root
			s += w.diag[n] * w.diag[n]
			n++
		}
		if s == 0 {
			continue
		}
		// The inverse root of I + u*u' is I - u*u'*(1-1/sqrt(1+s))/s, s = u'u.
		by := (1 - 1/math.Sqrt(1+s)) / s
		for j := range p.size {
			dot := 0.0
			for i := first; i < n; i++ {
				dot += w.diag[i] * raw[i*p.size+j]
			}
			for i := first; i < n; i++ {
				raw[i*p.size+j] -= w.diag[i] * dot * by
			}
		}
		dot := 0.0
		for i := first; i < n; i++ {
			dot += w.diag[i] * w.y[i]
		}
		for i := first; i < n; i++ {
			w.y[i] -= w.diag[i] * dot * by
		}
	}
	if p.prior == nil {
		return
	}
	for i := range p.size {
		w.y[n] = 0
		for j := range p.size {
			w.a.Set(n, j, p.prior.root.At(i, j))
			w.y[n] += p.prior.root.At(i, j) * p.prior.mean[j]
		}
		n++
	}
}

// rounds bounds how often weights and unknowns are settled from one another.
const rounds = 60

// at fits the unknowns at one pair of scatters, from a start.
func (p *problem) at(w *work, car, within float64, start []float64) (*point, error) {
	out := &point{car: car, within: within, mean: append([]float64{}, start...), weights: make([]float64, len(p.groups))}
	for i := range out.weights {
		out.weights[i] = 1
	}
	scaled, y := mat.NewDense(len(w.y), p.size, nil), make([]float64, len(w.y))
	raw := scaled.RawMatrix().Data
	for round := range rounds {
		if round == 0 || p.slope >= 0 { // learning is no straight line
			p.whiten(w, car, within, out.mean)
		}
		scaled.Copy(w.a)
		copy(y, w.y)
		n := 0
		for i, g := range p.groups {
			out.weights[i] = p.weight(w, n, len(g), out.mean)
			root := math.Sqrt(out.weights[i])
			for range g {
				for j := range p.size {
					raw[n*p.size+j] *= root
				}
				y[n] *= root
				n++
			}
		}
		x, err := LeastSquares(scaled, y)
		if err != nil {
			return nil, err
		}
		moved := 0.0
		for j := range x {
			if j == p.slope {
				x[j] = max(min(x[j], 0.5), -0.9) // beyond, a run would take no time
			}
			moved = max(moved, math.Abs(x[j]-out.mean[j]))
		}
		copy(out.mean, x)
		if moved < 1e-6 || math.IsInf(p.nu, 1) && p.slope < 0 {
			break
		}
	}
	return out, p.judge(w, out)
}

// off is the square of how far a group is off, in its scatter.
func (w *work) off(first, n int, at []float64) (square float64) {
	for i := first; i < first+n; i++ {
		r := w.y[i]
		for j, x := range w.a.RawRowView(i) {
			r -= x * at[j]
		}
		square += r * r
	}
	return square
}

func (p *problem) weight(w *work, first, n int, at []float64) float64 {
	if math.IsInf(p.nu, 1) {
		return 1
	}
	return (p.nu + float64(n)) / (p.nu + w.off(first, n, at))
}

// judge works out the density and the curvature at the fit.
func (p *problem) judge(w *work, out *point) error {
	if p.slope >= 0 {
		p.whiten(w, out.car, out.within, out.mean)
	}
	log := -p.logDet(out.car, out.within) / 2
	full, plain := w.h, mat.NewSymDense(p.size, nil)
	full.Zero()
	n := 0
	for i, g := range p.groups {
		m := float64(len(g))
		square := w.off(n, len(g), out.mean)
		pull := 0.0
		if math.IsInf(p.nu, 1) {
			log -= square / 2
		} else {
			out.weights[i] = (p.nu + m) / (p.nu + square)
			log += lgamma((p.nu+m)/2) - lgamma(p.nu/2) - m/2*math.Log(p.nu) - (p.nu+m)/2*math.Log1p(square/p.nu)
			pull = 2 * out.weights[i] * out.weights[i] / (p.nu + m)
		}
		for j := range w.x {
			w.x[j] = 0
		}
		for k := n; k < n+len(g); k++ {
			x := w.a.RawRowView(k)
			r := w.y[k]
			for j := range x {
				r -= x[j] * out.mean[j]
			}
			for a := range x {
				w.x[a] += x[a] * r
				for b := a; b < len(x); b++ {
					plain.SetSym(a, b, plain.At(a, b)+out.weights[i]*x[a]*x[b])
				}
			}
		}
		for a := range p.size {
			for b := a; b < p.size; b++ {
				full.SetSym(a, b, full.At(a, b)-pull*w.x[a]*w.x[b])
			}
		}
		n += len(g)
	}
	if p.prior != nil {
		log += p.prior.half - w.off(n, p.size, out.mean)/2
		for k := n; k < n+p.size; k++ {
			x := w.a.RawRowView(k)
			for a := range x {
				for b := a; b < len(x); b++ {
					plain.SetSym(a, b, plain.At(a, b)+x[a]*x[b])
				}
			}
		}
	}
	full.AddSym(full, plain)
	var c mat.Cholesky
	if !c.Factorize(full) && !c.Factorize(plain) {
		return errTied
	}
	out.cov = mat.NewSymDense(p.size, nil)
	if err := c.InverseTo(out.cov); err != nil {
		return errTied
	}
	for k, s := range []float64{out.car, out.within} {
		if p.usual[k] > 0 {
			log += math.Log(s) - s*s/(2*p.usual[k]*p.usual[k]) // half-normal, on a grid of logarithms
		}
	}
	out.log = log - c.LogDet()/2
	return nil
}

func lgamma(x float64) float64 {
	y, _ := math.Lgamma(x)
	return y
}
