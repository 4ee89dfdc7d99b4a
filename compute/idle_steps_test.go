package compute

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/model"
	"seamtally/templates"
)

// Which inputs move nothing is the same whether every step of a tried line is worked out
// or only those that rest on the input.
func TestIdleByWhatFollows(t *testing.T) {
	t.Parallel()
	m, err := Load(templates.FS, model.US)
	require.NoError(t, err)
	v := Defaults(m)
	car := v.AddRow(m.Table("cars"))
	car.Text[m.Table("cars").Quantity("name").TextSlot] = "Demo"
	e, err := NewEngine(v)
	require.NoError(t, err)
	quick, whole := newIdler(e), newIdler(e)
	whole.all = trial{e.first, e.rest}
	for q := range whole.follows {
		whole.follows[q] = whole.all
	}
	rng := rand.New(rand.NewPCG(7, 7))
	stock, found := m.Table("stock"), 0
	for range 400 {
		l := NewLine(m)
		l.Clear()
		text := func(key string, of ...string) {
			if s := of[rng.IntN(len(of))]; s != "" {
				l.SetText(m.Line.Quantity(key), s)
			}
		}
		number := func(key string, of ...float64) {
			if rng.IntN(2) == 0 {
				l.Set(m.Line.Quantity(key), of[rng.IntN(len(of))])
			}
		}
		size := v.Rows(stock).Frames[rng.IntN(3)]
		l.Set(m.Line.Quantity("od"), stock.Quantity("od").Num(size))
		l.Set(m.Line.Quantity("wall"), stock.Quantity("wall").Num(size))
		text("car", "Demo")
		text("kind", "butt", "pie cut", "fillet", "branch", "seam", "")
		text("filler", "yes", "no", "")
		text("setup", "cup, stop and start", "trailing shield, on rolls", "")
		text("ends", "half", "full", "")
		number("qty", 1, 3)
		number("passes", 1, 2)
		number("bend", 45, 90)
		number("pie_angle", 10, 15)
		number("clr", 3, 4.5)
		number("leg", 0.1, 0.2)
		number("sides", 1, 2)
		number("run_od", 3, 4)
		number("branch_angle", 45, 90)
		number("weld_length", 2, 12)
		number("wire", 0.035, 0.045)
		number("gap", 0, 0.02)
		number("tube", 0, 20)
		number("purges", 0, 1, 2)
		number("purge_length", 0, 12)
		number("extra", 0, 5)
		_, err := e.Work(l, 0)
		require.NoError(t, err)
		want := whole.of(l)
		found += len(want)
		require.Equal(t, want, quick.of(l))
	}
	assert.Greater(t, found, 50)
}
