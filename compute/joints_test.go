package compute_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
)

// ordered is an order of one list without a file.
func ordered(t *testing.T, v *compute.Values, joints ...*compute.Line) *compute.Order {
	t.Helper()
	o := &compute.Order{Model: v.Model, Values: v}
	require.NoError(t, o.Open(true))
	for i, l := range joints {
		out, err := o.Work(l, 0)
		require.NoError(t, err)
		require.False(t, out.Refused)
		o.Keep(compute.Joint{Sheet: "Coupe", Row: i + 2, Line: l})
	}
	faults, err := o.Finish(1)
	require.NoError(t, err)
	require.Empty(t, faults)
	return o
}

// An order worked out again gives what another order of the same comes to, and
// stays as it was: with nothing otherwise, with another rate, with a joint that
// is longer in the arc, with one joint less.
func TestOrderIsWorkedOutAgain(t *testing.T) {
	m := load(t, model.US)
	joint := func(od float64) *compute.Line {
		l := compute.NewLine(m)
		l.Clear()
		for key, x := range map[string]float64{"od": od, "wall": 0.049, "qty": 2} {
			l.Set(m.Line.Quantity(key), x)
		}
		l.SetText(m.Line.Quantity("car"), "Demo car")
		return l
	}
	rate, arc := m.Singles.Quantity("shop_rate"), m.Line.Quantity("weld_out")
	dearer := func(v *compute.Values) *compute.Values {
		v.Singles.Num[rate.Slot] *= 2
		return v
	}
	slower := func(l *compute.Line) *compute.Line {
		l.Set(arc, 30)
		return l
	}
	o := ordered(t, compute.Defaults(m), joint(2.5), joint(3))
	for _, c := range []struct {
		name   string
		values *compute.Values
		change func(*compute.Joint, *compute.Line) bool
		want   *compute.Order
	}{
		{"as it is", o.Set.Clone(), nil, ordered(t, compute.Defaults(m), joint(2.5), joint(3))},
		{"another rate", dearer(o.Set.Clone()), nil, ordered(t, dearer(compute.Defaults(m)), joint(2.5), joint(3))},
		{"a slower joint", o.Set.Clone(), func(j *compute.Joint, l *compute.Line) bool {
			if j.Row == 3 {
				slower(l)
			}
			return true
		}, ordered(t, compute.Defaults(m), joint(2.5), slower(joint(3)))},
		{"a joint less", o.Set.Clone(), func(j *compute.Joint, _ *compute.Line) bool { return j.Row != 2 }, ordered(t, compute.Defaults(m), joint(3))},
	} {
		refused, err := o.Again(c.values, c.change)
		require.NoError(t, err, c.name)
		assert.Empty(t, refused, c.name)
		for _, q := range m.OrderOf.Quantities {
			assert.Equal(t, q.Num(c.want.Values.Order), q.Num(c.values.Order), "%s: %s", c.name, q.Key)
		}
	}
	again := ordered(t, compute.Defaults(m), joint(2.5), joint(3))
	for _, q := range m.OrderOf.Quantities {
		assert.Equal(t, q.Num(again.Values.Order), q.Num(o.Values.Order), q.Key)
	}
	assert.Equal(t, "Demo car", o.Joints[0].Car)
	assert.Equal(t, "Coupe!2", o.Joints[0].Where())
}

// A joint that cannot be worked out with other values is named.
func TestJointThatCannotBeWorkedOutAgain(t *testing.T) {
	m := load(t, model.US)
	l := compute.NewLine(m)
	l.Clear()
	l.Set(m.Line.Quantity("od"), 2.5)
	l.Set(m.Line.Quantity("wall"), 0.049)
	l.SetText(m.Line.Quantity("car"), "Demo car")
	o := ordered(t, compute.Defaults(m), l)
	refused, err := o.Again(o.Set.Clone(), func(_ *compute.Joint, l *compute.Line) bool {
		l.Set(m.Line.Quantity("wall"), 2)
		return true
	})
	require.NoError(t, err)
	require.Len(t, refused, 1)
	assert.Same(t, &o.Joints[0], refused[0])
}
