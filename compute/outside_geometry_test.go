package compute_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/num/dual"
	"pgregory.net/rapid"

	"seamtally/compute/model"
)

// The change of direction is twice the angle of the cut: ASME B31.3, 304.2.3
// (seen quoted). The trade manual's example: OD 168, three cuts for 90°, cut
// angle 15°, cut-back 22.5 (seen; 22.508 worked out).
func TestMitreCut(t *testing.T) {
	b := newBench(t, model.Metric)
	get, out, _ := b.work(row{"kind": "pie cut", "od": 168, "wall": 3, "bend": 90, "pie_angle": 30})
	require.False(t, out.Refused)
	assert.Equal(t, 3.0, get("pies"), "three cuts")
	assert.Equal(t, 30.0, get("turn"))
	assert.Equal(t, 15.0, get("half_turn"), "ASME B31.3, 304.2.3")
	// A pie is as much longer on its axis than inside as two cuts go back.
	back := (get("bend_length")/get("pies") - get("throat")) / 2
	assert.InDelta(t, 22.5, back, 0.05, "trade manual's example")
	assert.InDelta(t, 22.508, back, 0.0005, "worked out")
}

// A five-piece elbow of 90° turns in eight half-angles of 11 1/4°; its end
// pieces are half pieces: Sheet Metal Drafting, p. 59 (seen).
func TestFivePieceElbow(t *testing.T) {
	b := newBench(t, model.US)
	in := row{"kind": "pie cut", "od": 3, "wall": 0.047, "bend": 90, "pie_angle": 22.5, "ends": "half"}
	get, _, _ := b.work(in)
	assert.Equal(t, 4.0, get("welds"), "five pieces have four seams between them")
	assert.InDelta(t, 11.25, get("half_turn"), 1e-12)
	assert.InDelta(t, 90.0, 2*get("welds")*get("half_turn"), 1e-12, "eight half-angles")
	half := get("bend_length")
	in["ends"] = "full"
	get, _, _ = b.work(in)
	assert.Equal(t, 5.0, get("welds"), "whole wedges between square ends: one weld more (common practice, no source)")
	assert.Equal(t, half, get("bend_length"))
}

// gonum's elliptic integral, against the one table value: E(m=1/2) is 1.350644
// in Abramowitz and Stegun, table 17.1 (from memory).
func TestPieEdgeIsAnEllipse(t *testing.T) {
	require.InDelta(t, 1.350644, mathext.CompleteE(0.5), 5e-7, "Abramowitz and Stegun, table 17.1 (from memory)")
	b := newBench(t, model.US)
	edge := func(saw float64) float64 {
		get, out, _ := b.work(row{"kind": "pie cut", "od": 3, "wall": 0.047, "bend": 2 * saw, "pie_angle": 2 * saw})
		require.False(t, out.Refused)
		require.InDelta(t, saw, get("half_turn"), 1e-12)
		return get("pie_edge")
	}
	// Half axes 1/cos and 1: the perimeter is 4/cos*E(sin²), over 2*pi.
	for saw := 0.25; saw <= 30; saw += 0.25 {
		sin, cos := math.Sincos(saw * math.Pi / 180)
		assert.InDelta(t, 2/math.Pi/cos*mathext.CompleteE(sin*sin), edge(saw), 1e-6, "saw at %g°", saw)
	}
	assert.InDelta(t, 1.00982, edge(11.25), 1e-5, "worked out with the exact integral")
	assert.InDelta(t, 1.04160, edge(22.5), 1e-5, "worked out with the exact integral")
	get, _, _ := b.work(row{"od": 3, "wall": 0.047})
	assert.Equal(t, 1.0, get("pie_edge"), "nothing turns")
	assert.InDelta(t, 3*math.Pi, get("seam"), 1e-12)
}

// copedLength is the length of the edge of a tube of radius 1 coped onto a
// main of radius main, its axis at that angle: Gauss-Legendre over the curve
// itself, a point p round the branch lying where its ruling meets the main,
// with the speed along the curve from dual numbers.
func copedLength(main, degrees float64) float64 {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	speed := func(p float64) float64 {
		a := dual.Number{Real: p, Emag: 1}
		u, v := dual.Cos(a), dual.Sin(a) // across the branch; v is level
		up := dual.Sqrt(dual.Sub(dual.Number{Real: main * main}, dual.Mul(v, v)))
		z := dual.Scale(1/sin, dual.Sub(up, dual.Scale(cos, u))) // along the branch's axis
		x := dual.Sub(dual.Scale(cos, z), dual.Scale(sin, u))    // along the main's
		return math.Hypot(math.Hypot(x.Emag, v.Emag), up.Emag)
	}
	half := 0.0 // equal tubes have a corner at a quarter turn
	for _, from := range []float64{0, math.Pi / 2} {
		half += quad.Fixed(speed, from, from+math.Pi/2, 400, quad.Legendre{}, 0)
	}
	return 2 * half
}

func TestBranchEdgeIsTheCurve(t *testing.T) {
	b := newBench(t, model.US)
	edge := func(ratio, angle float64) float64 {
		get, out, _ := b.work(row{"kind": "branch", "od": 2, "wall": 0.047, "run_od": 2 / ratio, "branch_angle": angle})
		require.False(t, out.Refused)
		return get("branch_edge")
	}
	for ratio, want := range map[float64]float64{0.25: 1.0040, 0.5: 1.0177, 0.75: 1.0492, 1: 1.2160} {
		assert.InDelta(t, want, edge(ratio, 90), 1e-4, "od/run_od %g at 90°: numerical integration, worked out", ratio)
	}
	for _, angle := range []float64{90, 75, 60, 45, 30} {
		for _, ratio := range []float64{0.1, 0.25, 0.5, 0.75, 0.9, 1} {
			assert.InDelta(t, copedLength(1/ratio, angle)/(2*math.Pi), edge(ratio, angle), 1e-4,
				"od/run_od %g at %g°: the curve where two cylinders meet, by quadrature", ratio, angle)
		}
	}
}

// Between 0.99 and 1 the curve bends sharply where the tubes are widest, and
// 5° steps miss some of it: 0.3 % at most.
func TestBranchEdgeOfAnyTubes(t *testing.T) {
	b := newBench(t, model.US)
	rapid.Check(t, func(t *rapid.T) {
		ratio := float64(rapid.IntRange(50, 10000).Draw(t, "od over run_od, in 10,000ths")) / 10000
		angle := float64(rapid.IntRange(20, 90).Draw(t, "angle"))
		get, out, _ := b.work(row{"kind": "branch", "od": 2, "wall": 0.005, "run_od": 2 / ratio, "branch_angle": angle})
		require.False(t, out.Refused)
		slack := 2e-5
		if ratio > 0.99 {
			slack = 3e-3
		}
		assert.InEpsilon(t, copedLength(1/ratio, angle)/(2*math.Pi), get("branch_edge"), slack)
	})
}

// Equal tubes at 90°: the edge is an ellipse of half axes r and r*SQRT(2), of
// length 7.6404 r (worked out).
func TestEqualTubesMeetInAnEllipse(t *testing.T) {
	ellipse := 4 * math.Sqrt2 * mathext.CompleteE(0.5)
	require.InDelta(t, 7.6404, ellipse, 5e-5)
	b := newBench(t, model.US)
	get, _, _ := b.work(row{"kind": "branch", "od": 3, "wall": 0.047, "run_od": 3})
	assert.InDelta(t, 7.6404, get("seam")/1.5, 1e-3, "worked out")
	assert.InEpsilon(t, ellipse, get("seam")/1.5, 1e-4)
}

// A fillet inside and out is welded along two circles.
func TestFilletInsideAndOut(t *testing.T) {
	b := newBench(t, model.US)
	get, _, _ := b.work(row{"kind": "fillet", "od": 3, "wall": 0.1, "sides": 2})
	assert.InDelta(t, math.Pi*(3+2.8), get("welds")*get("seam"), 1e-12, "circumferences of 3 in and 2.8 in")
}

// A wall that equals a bound of the table belongs to that bound, in both
// books: the table says "wall to".
func TestWallAtItsBound(t *testing.T) {
	for _, c := range []struct {
		s      model.System
		od     float64
		factor map[float64]float64
	}{
		{model.US, 3, map[float64]float64{0.039: 1.15, 0.04: 1.15, 0.041: 1, 0.055: 1, 0.056: 0.85, 0.07: 0.85, 0.071: 0.65, 0.12: 0.65}},
		{model.Metric, 76.1, map[float64]float64{0.9: 1.15, 1: 1.15, 1.1: 1, 1.4: 1, 1.5: 0.85, 1.8: 0.85, 1.9: 0.65, 3: 0.65}},
	} {
		b := newBench(t, c.s)
		setup := map[model.System]float64{model.US: 3, model.Metric: 75}[c.s]
		for wall, factor := range c.factor {
			get, _, _ := b.work(row{"od": c.od, "wall": wall})
			assert.InEpsilon(t, setup*factor, get("travel_used"), 1e-12, fmt.Sprintf("%s, wall %g", c.s, wall))
		}
	}
}
