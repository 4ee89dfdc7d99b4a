package compute_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// bench works out single lines with the shipped assumptions, changed as a test
// asks.
type bench struct {
	t require.TestingT
	m *model.Model
	v *compute.Values
}

func newBench(t require.TestingT, s model.System) *bench {
	m := load(t, s)
	v := compute.Defaults(m)
	car := m.Table("cars")
	row := v.AddRow(car)
	row.Text[car.Quantity("name").TextSlot] = "Coupe"
	row.Num[car.Quantity("ordered").Slot] = 1
	return &bench{t, m, v}
}

func (b *bench) assume(key string, x float64) {
	q := b.m.Singles.Quantity(key)
	require.NotNil(b.t, q, key)
	b.v.Singles.Num[q.Slot] = x
}

func (b *bench) cell(table string, row int, key string, x float64) {
	t := b.m.Table(table)
	q := t.Quantity(key)
	require.NotNil(b.t, q, key)
	b.v.Rows(t).Frames[row].Num[q.Slot] = x
}

// row sets inputs: numbers and texts by key.
type row map[string]any

func (b *bench) work(in row) (func(key string) float64, compute.Outcome, *compute.Line) {
	e, err := compute.NewEngine(b.v)
	require.NoError(b.t, err)
	l := compute.NewLine(b.m)
	l.Clear()
	l.SetText(b.m.Line.Quantity("car"), "Coupe")
	for k, x := range in {
		q := b.m.Line.Quantity(k)
		require.NotNil(b.t, q, k)
		switch x := x.(type) {
		case string:
			l.SetText(q, x)
		case float64:
			l.Set(q, x)
		case int:
			l.Set(q, float64(x))
		}
	}
	out, err := e.Work(l, 0)
	require.NoError(b.t, err)
	return func(key string) float64 {
		q := b.m.Line.Quantity(key)
		require.NotNil(b.t, q, key)
		return l.Frame.Num[q.Slot]
	}, out, l
}

// practice is a shop's way of welding a 3 in tube of 0.047 in wall: common
// practice, no source.
func practice(t require.TestingT) *bench {
	b := newBench(t, model.US)
	b.assume("closing_overlap", 0)
	for i := range 2 {
		for key, x := range map[string]float64{
			"pre_flow": 0, "post_flow": 15, "travel": 3.2,
			"torch_flow": 40, "purge_flow": 25, "purge_hold": 25, // hold = fill
		} {
			b.cell("setups", i, key, x)
		}
	}
	b.cell("setups", 0, "cup_bore", 7.0/8) // a number 14 cup: sixteenths of an inch
	b.cell("setups", 0, "reposition", 2)
	b.cell("setups", 1, "trail_flow", 30)
	return b
}

func TestStopAndStartOfCommonPractice(t *testing.T) {
	b := practice(t)
	get, out, _ := b.work(row{"od": 3, "wall": 0.047})
	require.False(t, out.Refused)
	assert.InDelta(t, 7.0/16, get("bead_limit"), 1e-12, "half of the cup bore: common practice, no source")
	assert.Equal(t, 22.0, get("starts"), "common practice, no source")
	assert.InDelta(t, 9.56, get("weld_out"), 0.005, "8 to 10 minutes: common practice, no source")
	assert.InDelta(t, 2.2, 40*get("arc_time")/60, 0.05, "torch gas of the arc, ft³: common practice, no source")
	assert.InDelta(t, 3.7, 40*get("flow_tail")/60, 0.05, "torch gas of the post-flow, ft³: common practice, no source")

	get, _, _ = b.work(row{"od": 3, "wall": 0.047, "kind": "pie cut", "bend": 90})
	assert.Equal(t, 6.0, get("welds"))
	assert.InDelta(t, 60, get("welds")*get("weld_out"), 3, "six welds, about an hour: common practice, no source")
}

func TestTrailingShieldOfCommonPractice(t *testing.T) {
	b := practice(t)
	get, _, _ := b.work(row{"od": 3, "wall": 0.047, "setup": "trailing shield, on rolls"})
	assert.Equal(t, 0.0, get("stops"))
	assert.InDelta(t, 3.2, get("weld_out"), 0.05, "about 3 minutes: common practice, no source")
}

func TestDabsAndTacksOfCommonPractice(t *testing.T) {
	b := newBench(t, model.US)
	get, _, _ := b.work(row{"od": 3, "wall": 0.047})
	assert.Equal(t, 8.0, get("dabs_per_start"), "eight dabs to half an inch: common practice, no source")
	assert.Equal(t, 4.0, get("tacks"), "four tacks on a 3 in tube: common practice, no source")
	get, _, _ = b.work(row{"od": 3, "wall": 0.047, "setup": "trailing shield, on rolls"})
	assert.True(t, formula.IsBlank(get("dabs_per_start")), "blank where the bead runs round")
}
