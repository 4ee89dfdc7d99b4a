package compute_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/compute/units"
)

// drawJob is a random job that shrinks to the plainest one that fails.
func drawJob(t *rapid.T, m *model.Model, lines int) job {
	return rapid.Custom(func(t *rapid.T) job {
		d := dice(func(n int) int { return rapid.IntRange(0, n-1).Draw(t, "throw") })
		return randomJob(m, d, 1+d(lines))
	}).Draw(t, "job")
}

// The same joints at the same physical assumptions, in inches and in
// millimetres, take the same minutes, gas, metal and money. The factors come
// from 1 in = 25.4 mm and 1 lb = 0.45359237 kg, exact by definition (NIST SP
// 811: from memory).
func TestBothBooksSayTheSame(t *testing.T) {
	t.Parallel()
	us, metric := load(t, model.US), load(t, model.Metric)
	rapid.Check(t, func(t *rapid.T) {
		j := drawJob(t, us, 6)
		a, b := workJob(t, us, j), workJob(t, metric, j)
		a.priced(t, j)
		b.priced(t, j)
		for i := range a.lines {
			sameInBoth(t, us.Line, metric.Line, &a.lines[i].Frame, &b.lines[i].Frame, metric, j.show(i))
		}
		for _, s := range us.Summary {
			of := b.summary(s.Name)
			x, y := a.v.Rows(s).Frames, b.v.Rows(of).Frames
			require.Len(t, y, len(x), s.Name)
			for i := range x {
				sameInBoth(t, s, of, x[i], y[i], metric, fmt.Sprintf("%s, row %d", s.Name, i+1))
			}
		}
		sameInBoth(t, us.OrderOf, metric.OrderOf, a.v.Order, b.v.Order, metric, "order")
	})
}

func sameInBoth(t require.TestingT, s, of *model.Scope, x, y *formula.Frame, metric *model.Model, where string) {
	for _, q := range s.Quantities {
		r := of.Quantity(q.Key)
		if q.IsText() {
			require.Equal(t, q.Text(x), r.Text(y), "%s: %s", where, q.Key)
			continue
		}
		in, mm := q.Num(x), r.Num(y)/inBook(metric, r)
		if formula.IsBlank(in) {
			require.True(t, formula.IsBlank(r.Num(y)), "%s: %s", where, q.Key)
			continue
		}
		// Dust of the conversion; a difference of large figures keeps theirs.
		slack := 1e-10 * math.Max(1, math.Abs(in))
		if q.Key == "margin_made" || q.Key == "earned" || q.UnitOf == "$" {
			slack = 1e-9 * math.Max(1, math.Abs(in))
		}
		require.InDelta(t, in, mm, slack, "%s: %s", where, q.ID())
	}
}

// What one US unit is in metric, against published figures.
func TestUnitsOfTheBooks(t *testing.T) {
	require.InDelta(t, 0.471947, perUS["flow"], 5e-7, "1 ft³/h in L/min: NIST SP 811, from memory")
	us, metric := load(t, model.US), load(t, model.Metric)
	for key, f := range perUS {
		got, err := units.Conversion(us.Units[key].Unit, metric.Units[key].Unit)
		require.NoError(t, err, key)
		require.InEpsilon(t, f, got.Float(), 1e-15, "%s: from 1 in = 25.4 mm and 1 lb = 0.45359237 kg", key)
	}
	for key, u := range us.Units {
		if _, ok := perUS[key]; !ok {
			require.True(t, u.Unit.Equal(metric.Units[key].Unit), "%s differs between the books and is not compared", key)
		}
	}
}

// A metric shop is shipped the values of a US one, as a metric shop would round
// them: none is further off than 6 % (this project's own choice), and what is
// counted in one unit in both books is equal. Stock is not compared: metric
// tube has sizes of its own.
func TestMetricValuesAreTheUSOnesRounded(t *testing.T) {
	us, metric := load(t, model.US), load(t, model.Metric)
	tried := 0
	alike := func(in, mm *model.Quantity, x, y float64) {
		if math.IsNaN(x) {
			require.True(t, math.IsNaN(y), "%s: blank in one book", in.ID())
			return
		}
		x *= inBook(metric, mm)
		if in.Unit.Equal(mm.Unit) {
			require.Equal(t, x, y, in.ID())
		} else {
			require.InDelta(t, x, y, 0.06*x, in.ID())
		}
		tried++
	}
	for _, q := range numbers(us) {
		r := metric.Singles.Quantity(q.Key)
		alike(q, r, q.Value, r.Value)
	}
	for _, name := range []string{"setups", "kinds", "walls", "alloys"} {
		a, b := us.Table(name), metric.Table(name)
		require.Len(t, b.Rows, len(a.Rows), name)
		for _, q := range a.Quantities {
			for i := range a.Rows {
				if q.Role == model.Column && !q.IsText() {
					alike(q, b.Quantity(q.Key), a.Rows[i].Num[q.Slot], b.Rows[i].Num[q.Slot])
				}
			}
		}
	}
	require.Greater(t, tried, 100)
}
