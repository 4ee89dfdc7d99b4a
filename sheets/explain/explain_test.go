package explain

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
)

// demoPriced prices an invented order that comes with the program.
func demoPriced(t *testing.T, name string) string {
	t.Helper()
	out := filepath.Join(t.TempDir(), "priced.xlsx")
	_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: filepath.Join("..", "..", "testdata", name), Out: out})
	require.NoError(t, err)
	return out
}

// marks are all that can be explained of a workbook: every joint by its row,
// every car, the order.
func allMarks(t *sheets.Run) []string {
	out := []string{orderWord}
	out = append(out, carNames(t)...)
	for _, r := range t.Joints {
		out = append(out, r.Where())
	}
	return out
}

// flatFigures are the figures of an explanation, group by group.
func flatFigures(x *Explanation) []Figure {
	var out []Figure
	for _, g := range x.Groups {
		out = append(out, g.Figures...)
	}
	return out
}

// cellIn reads a cell that an explanation names.
func cellIn(g sheetstest.Grid, cell string) sheetstest.Value {
	sheet, ref, _ := strings.Cut(cell, "!")
	return g[sheet][ref]
}

// holds demands that a cell has a value.
func holds(t *testing.T, g sheetstest.Grid, cell string, want any, what string) {
	t.Helper()
	v := cellIn(g, cell)
	switch want := want.(type) {
	case float64:
		if !assert.Equal(t, sheetstest.Number, v.Kind, "%s in %s: %v, want %v", what, cell, v, want) {
			return
		}
		assert.InDelta(t, want, v.Num, 1e-8*math.Max(1, math.Abs(want)), "%s in %s", what, cell)
	case string:
		assert.Equal(t, want, v.Text, "%s in %s", what, cell)
	default:
		assert.True(t, v.Kind == "" || v.Kind == sheetstest.Empty || v.Text == "" || v.Kind == sheetstest.Error, "%s in %s: %v, want nothing", what, cell, v)
	}
}

// again works the printed formula out by itself.
func again(t *testing.T, f Figure, where string) (done bool) {
	t.Helper()
	if f.WithNumbers == "" {
		return false
	}
	got, err := reckon(f.WithNumbers)
	if errors.Is(err, errNoArithmetic) {
		return false
	}
	if !assert.NoError(t, err, "%s: %s", where, f.Key) {
		return false
	}
	switch want := f.Value.(type) {
	case float64:
		assert.InDelta(t, want, got.x, 1e-7*math.Max(1e-3, math.Abs(want)), "%s: %s = %s", where, f.Key, f.WithNumbers)
	case string:
		assert.Equal(t, want, got.text, "%s: %s = %s", where, f.Key, f.WithNumbers)
	default:
		assert.True(t, got.isText && got.text == "", "%s: %s = %s", where, f.Key, f.WithNumbers)
	}
	return true
}

// Of every figure of every joint, every car and the order: the cell that is
// named holds the value, the formula with its numbers gives it when it is
// worked out again by something else, and sums are the sums of their rows.
func TestEveryFigureOfTheDemoOrders(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy")
	}
	for _, name := range []string{"order.xlsx", "order-metric.xlsx"} {
		t.Run(name, func(t *testing.T) {
			path := demoPriced(t, name)
			g := sheetstest.Read(t, path)
			o, err := sheets.Read(t.Context(), path, "")
			require.NoError(t, err)
			defer o.Close()
			figures, reckoned, uses, parts := 0, 0, 0, 0
			for _, mark := range allMarks(o) {
				x, err := explain(o, Options{In: path, Mark: mark})
				require.NoError(t, err)
				assert.True(t, x.Priced)
				assert.Empty(t, x.Notes, mark)
				for _, f := range flatFigures(x) {
					figures++
					what := mark + ": " + f.Key
					require.NotEmpty(t, f.Cell, what)
					assert.Empty(t, f.Stored, what)
					holds(t, g, f.Cell, f.Value, what)
					if again(t, f, mark) {
						reckoned++
					}
					for _, u := range f.Uses {
						uses++
						holds(t, g, u.Cell, u.Value, what+" uses "+u.Key)
					}
					for _, s := range f.Sums {
						total := s.MoreTotal
						for _, p := range s.Parts {
							parts++
							times := math.Max(p.Times, 1)
							holds(t, g, p.Cell, p.Value/times, what+" adds up "+p.Name)
							total += p.Value
						}
						assert.Equal(t, s.Count, len(s.Parts)+s.More, what)
						assert.InDelta(t, s.Total, total, 1e-9*math.Max(1, math.Abs(total)), "%s: %s", what, s.Of)
					}
				}
			}
			t.Logf("%d figures, %d worked out again, %d uses, %d rows of sums", figures, reckoned, uses, parts)
			assert.Greater(t, reckoned, figures/3)
			assert.NotZero(t, uses)
			assert.NotZero(t, parts)
		})
	}
}

// Whoever asks before pricing is told the cells that pricing then fills.
func TestExplainedBeforePricing(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy")
	}
	in := filepath.Join("..", "..", "testdata", "order.xlsx")
	before, err := sheets.Read(t.Context(), in, "")
	require.NoError(t, err)
	defer before.Close()
	after, err := sheets.Read(t.Context(), demoPriced(t, "order.xlsx"), "")
	require.NoError(t, err)
	defer after.Close()
	for _, mark := range []string{orderWord, "Coupe Demo-A", "A-02", "Joints!44", "Track Demo-C!9"} {
		a, err := explain(before, Options{Mark: mark})
		require.NoError(t, err)
		b, err := explain(after, Options{Mark: mark})
		require.NoError(t, err)
		assert.False(t, a.Priced)
		assert.Equal(t, []string{"the workbook is not priced yet: the cells are those that pricing will fill"}, a.Notes)
		assert.Equal(t, b.Groups, a.Groups, mark)
	}
}

// A figure asked for by name or heading comes last in its group, with all that
// it rests on and nothing else.
func TestExplainOneFigure(t *testing.T) {
	o, err := sheets.Read(t.Context(), filepath.Join("..", "..", "testdata", "order.xlsx"), "")
	require.NoError(t, err)
	defer o.Close()
	for _, name := range []string{"wire_area", "WIRE_AREA", "rod, cross section", "Rod, cross section (in²)"} {
		x, err := explain(o, Options{Mark: "A-02", Figure: name})
		require.NoError(t, err)
		var keys []string
		for _, f := range flatFigures(x) {
			keys = append(keys, f.Key)
		}
		assert.Equal(t, []string{"wire", "wire_area", "default_wire"}, keys)
		assert.Equal(t, "wire_area", x.Figure)
	}
	for name, key := range map[string]string{"setup.travel": "setup.travel", "shop_rate": "shop_rate", "Shop rate, per hour sold": "shop_rate"} {
		x, err := explain(o, Options{Mark: "A-02", Figure: name})
		require.NoError(t, err)
		all := flatFigures(x)
		require.Len(t, all, 1)
		assert.Equal(t, key, all[0].Key)
	}
	// Everything that a figure names is explained too.
	for _, mark := range []string{orderWord, "Spyder Demo-B", "A-09"} {
		x, err := explain(o, Options{Mark: mark})
		require.NoError(t, err)
		cells := map[string]bool{}
		for _, f := range flatFigures(x) {
			cells[f.Cell] = true
		}
		for _, f := range flatFigures(x) {
			for _, u := range f.Uses {
				assert.True(t, cells[u.Cell], "%s: %s uses %s in %s", mark, f.Key, u.Key, u.Cell)
			}
		}
	}
}

// What is not there is told with what is near to it.
func TestExplainNotFound(t *testing.T) {
	o, err := sheets.Read(t.Context(), filepath.Join("..", "..", "testdata", "order.xlsx"), "")
	require.NoError(t, err)
	defer o.Close()
	for _, c := range []struct{ mark, figure, says string }{
		{"", "", "nothing is named to be explained; name a joint's mark, a car, order, or a figure of the order"},
		{"A-2", "", `no joint and no car is called "A-2"; near to it: `},
		{"coupe demo-x", "", "near to it: Coupe Demo-A"},
		{"Holidays!3", "", `the sheet "Holidays" has no joint list`},
		{"Joints!3", "", "Joints!3 is no joint of the list on Joints; its joints are on rows 7 to 52"},
		{"A-02", "arc_tme", `no figure is called "arc_tme"; near to it: arc_time`},
		{"Coupe Demo-A", "argon", `"argon" is the heading of 2 figures; name one of car_argon (Argon (ft³)), argon_money (Argon ($))`},
		{"A-02", "car_hours", "car_hours is a figure of a car; name a car in place of the mark"},
		{"order", "arc_time", "arc_time is a figure of a joint; name a joint's mark in place of the mark"},
		{"A-02", "qqqqqqqq", `no figure is called "qqqqqqqq"; leave it out to see all of them`},
	} {
		_, err := explain(o, Options{Mark: c.mark, Figure: c.figure})
		require.Error(t, err, fmt.Sprint(c))
		assert.Contains(t, err.Error(), c.says)
	}
}
