package bottles

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

var nan = math.NaN()

// Every row is counted off by hand: what hangs there, less a weld at a time, and a new
// bottle before the weld that it cannot finish.
func TestBottlesChanged(t *testing.T) {
	type weld struct {
		count float64
		gas   []float64
	}
	for name, c := range map[string]struct {
		welds   []weld
		changed int
		left    float64
		in      float64
		most    float64
	}{
		"nothing":                                {nil, 0, 0, 0, 0},
		"no gas":                                 {[]weld{{3, []float64{0}}}, 0, 0, 0, 0},
		"the first bottle is no other":           {[]weld{{1, []float64{3}}}, 0, 0, 7, 3},
		"to the last drop":                       {[]weld{{4, []float64{2.5}}}, 0, 0, 0, 2.5},
		"three of 3, 1 left; three, 1 left; one": {[]weld{{7, []float64{3}}}, 2, 2, 7, 3},
		"two lines on one bottle":                {[]weld{{4, []float64{2, 1}}}, 1, 1, 7, 3},
		"a hundred tenths":                       {[]weld{{100, []float64{0.1}}, {1, []float64{0.1}}}, 1, 0, 9.9, 0.1},
		"6 left are too few for 7":               {[]weld{{1, []float64{4}}, {1, []float64{7}}}, 1, 6, 3, 7},
		"25 of bottles of 10":                    {[]weld{{1, []float64{25}}}, 2, 0, 5, 25},
		"two of 25, with 5 left between":         {[]weld{{2, []float64{25}}}, 5, 5, 5, 25},
	} {
		told := 0
		l := Line{Full: 10, Empty: func(Place) { told++ }}
		for i, w := range c.welds {
			l.Weld(w.count, w.gas, Place{Joint: i})
		}
		assert.Equal(t, c.changed, told, name)
		assert.Equal(t, c.changed, l.changed, name)
		assert.InDelta(t, c.left, l.Left, 1e-9, name)
		assert.InDelta(t, c.in, l.in, 1e-9, name)
		assert.Equal(t, c.most, l.Most, name)
	}
}

// Seven welds of 3 take 21, which is 2.1 bottles of 10; three are hung up.
func TestMoreBottlesThanReckoned(t *testing.T) {
	l := Line{Full: 10, Empty: func(Place) {}}
	l.Weld(7, []float64{3}, Place{})
	assert.InDelta(t, 0.9, l.More(21, 2.1), 1e-12)
	assert.Zero(t, l.More(21, 3))
	assert.Zero(t, l.More(21, 4))
	assert.Zero(t, (&Line{Full: 10}).More(0, 0))
}

func TestBottlesOfARun(t *testing.T) {
	run := func(expects float64, changed ...float64) (out []Car) {
		for _, n := range changed {
			out = append(out, Car{"Coupe", n, expects})
		}
		return out
	}
	for name, c := range map[string]struct {
		run  []Car
		want Count
	}{
		"nobody typed any":                 {run(1, nan, nan), Count{0, []float64{0, 0}, nil, -1, nil}},
		"a blank beside others":            {run(1, 1, nan, 2), Count{3, []float64{1, 1, 1}, []int{1}, -1, nil}},
		"the rest of a bottle":             {run(0.4, 0, 1, 0), Count{1, []float64{0.4, 0.4, 0.4}, nil, -1, nil}},
		"5 where 1 is expected":            {run(1, 5), Count{5, []float64{1}, nil, -1, nil}}, // 3 times 1, and 2
		"6 where 1 is expected":            {run(1, 6), Count{0, []float64{0}, nil, -1, []Far{{0, 6, 1}}}},
		"none where 6 are expected":        {run(1, 0, 0, 0, 0, 0, 0), Count{0, []float64{1, 1, 1, 1, 1, 1}, nil, -1, nil}}, // 3 times 2 left over
		"none where 7 are expected":        {run(1, 0, 0, 0, 0, 0, 0, 0), Count{0, make([]float64, 7), nil, -1, []Far{{6, 0, 7}}}},
		"a slip, and one that is none":     {run(1, 9, 1), Count{1, []float64{0, 1}, nil, -1, []Far{{0, 9, 1}}}},
		"a kind of which nothing is typed": {append(run(1, 1, 1), Car{"Spyder", nan, 1}), Count{0, make([]float64, 3), nil, 2, nil}},
		"a kind of which nothing is known": {append(run(1, 1, 1), Car{"Spyder", 1, nan}), Count{0, make([]float64, 3), nil, 2, nil}},
	} {
		assert.Equal(t, c.want, Of(c.run), name)
	}
}

func TestExpects(t *testing.T) {
	assert.Equal(t, 2.5, Expects(30, 12))
	assert.True(t, math.IsNaN(Expects(nan, 12)))
	assert.True(t, math.IsNaN(Expects(-1, 12)))
}
