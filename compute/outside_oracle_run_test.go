package compute_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// notWorkedOut are the row's findings, which have tests of their own.
var notWorkedOut = map[string]bool{"finding": true, "check": true}

// differences compares every figure of a frame with the plain implementation:
// to 1e-12 of its size, money to the cent. A figure that the plain
// implementation does not know is a difference too, so that none escapes.
func differences(s *model.Scope, f *formula.Frame, want figures) []string {
	var out []string
	for _, q := range s.Quantities {
		if q.Role != model.Figure || notWorkedOut[q.Key] || q.IsText() {
			continue
		}
		got := q.Num(f)
		x, known := want[q.Key]
		if !known && formula.IsBlank(got) {
			continue
		}
		if !known {
			out = append(out, q.ID()+" is not known to the plain implementation: work it out there too")
			continue
		}
		if !same(q, got, x, want) {
			out = append(out, fmt.Sprintf("%s is %.17g, not %.17g", q.ID(), got, x))
		}
	}
	return out
}

// otherWords compares every text that was worked out.
func otherWords(s *model.Scope, f *formula.Frame, want map[string]string) []string {
	var out []string
	for _, q := range s.Quantities {
		if q.Role != model.Figure || notWorkedOut[q.Key] || !q.IsText() {
			continue
		}
		if x, known := want[q.Key]; !known || q.Text(f) != x {
			out = append(out, fmt.Sprintf("%s is %q, not %q", q.ID(), q.Text(f), x))
		}
	}
	return out
}

func same(q *model.Quantity, got, want float64, of figures) bool {
	scale := math.Abs(want)
	switch q.Key { // what is left of larger figures has their precision
	case "hours_else":
		scale = of["order_hours"]
	case "margin_made", "order_margin":
		scale = 1
	case "bid_margin":
		scale = math.Max(1, of["cost_car"]/of["bid"])
	case "earned", "bid_earned":
		scale = (of["other_cost"] + math.Max(of["price_car"], of["bid"])) / of["car_hours"]
	}
	switch q.Key {
	case "offcut", "tube_all", "offcut_all", "rack", "tube_sticks", "tube_priced", "tube_rack", "tube_unpriced": // shares are taken of them: the dust of the sum is rounded away
		return got == want
	}
	if q.UnitOf == "$" && q.Key != "other_cost" { // the one sum of money that is not rounded
		return math.Round(got*100) == math.Round(want*100) && math.Abs(got*100-math.Round(got*100)) < 1e-5
	}
	return math.Abs(got-want) <= 1e-12*scale
}

// plainly is a job and what the plain implementation makes of it.
type plainly struct {
	job
	want  total
	words []map[string]string // of its rows
}

func workPlainly(j job) plainly {
	s := newShop(j)
	p := plainly{job: j, want: s.work()}
	for _, r := range j.lines {
		p.words = append(p.words, s.words(r))
	}
	return p
}

// differences compares what the model makes of the whole job.
func (j plainly) differences(w *worked) []string {
	want := j.want
	var out []string
	for i, l := range w.lines {
		bad := differences(w.m.Line, &l.Frame, want.lines[i])
		for _, d := range append(bad, otherWords(w.m.Line, &l.Frame, j.words[i])...) {
			out = append(out, d+"\n  "+j.show(i))
		}
	}
	byNumber := func(name string, of map[int]figures) {
		s := w.summary(name)
		frames := w.v.Rows(s).Frames
		if len(frames) != len(of) {
			out = append(out, fmt.Sprintf("%d rows of %s, not %d", len(frames), name, len(of)))
			return
		}
		for _, f := range frames {
			out = append(out, differences(s, f, of[int(s.Quantity(s.By).Num(f))])...)
		}
	}
	byNumber("tube", want.tube)
	byNumber("rods", want.rods)
	cars := map[int]figures{}
	for i, f := range want.cars {
		cars[i+1] = f
	}
	byNumber("cars", cars)
	return append(out, differences(w.m.OrderOf, w.v.Order, want.order)...)
}

// The model against the plain implementation, over some 2,000 rows in orders
// of one to three cars. The seed is fixed: the same jobs every time.
func TestModelAgainstPlainImplementation(t *testing.T) {
	t.Parallel()
	m := load(t, model.US)
	rng := rand.New(rand.NewPCG(7, 2022))
	d := dice(rng.IntN)
	rows, seen := 0, map[string]int{}
	for n := range 180 {
		j := randomJob(m, d, 1+d(24))
		w := workJob(t, m, j)
		w.priced(t, j)
		if bad := workPlainly(j).differences(w); len(bad) > 0 {
			require.Failf(t, "the model differs", "order %d: %d figures, first\n%s", n, len(bad), bad[0])
		}
		rows += len(j.lines)
		for i, r := range j.lines {
			l := w.lines[i]
			seen[m.Line.Quantity("kind").Text(&l.Frame)]++
			seen[m.Line.Quantity("setup").Text(&l.Frame)]++
			seen["filler "+m.Line.Quantity("filler").Text(&l.Frame)]++
			seen["ends "+m.Line.Quantity("ends").Text(&l.Frame)]++
			seen["colour "+m.Line.Quantity("colour").Text(&l.Frame)]++
			seen[fmt.Sprintf("purges %g", r.num("purges", -1))]++
			if r.num("weld_length", 0) > 0 {
				seen["measured"]++
			}
			if w.line(i, "passes") > 1 {
				seen["passes"]++
			}
			if w.line(i, "sides") > 1 {
				seen["sides"]++
			}
		}
		seen["gas "+j.singles.text("gas_lines", "")]++
	}
	assert.Greater(t, rows, 2000)
	for _, what := range []string{
		"butt", "pie cut", "fillet", "branch", "seam", "filler yes", "filler no", "ends half", "ends full",
		"purges 0", "purges 0.5", "purges 1", "colour bright", "colour straw", "colour blue", "measured", "passes", "sides",
		"gas apart", "gas together", setups[0], setups[1], setups[2], setups[3],
	} {
		assert.Greater(t, seen[what], 20, "too few rows of: %s", what)
	}
}
