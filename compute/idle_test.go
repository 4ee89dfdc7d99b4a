package compute_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
)

// workedLine is a joint of a car, worked out in an order of its own.
func workedLine(t *testing.T, more row) (*compute.Order, *compute.Line, compute.Outcome) {
	t.Helper()
	o := &compute.Order{Values: newBench(t, model.US).v}
	o.Model = o.Values.Model
	require.NoError(t, o.Open(false))
	l := compute.NewLine(o.Model)
	l.Clear()
	for _, r := range []row{{"car": "Coupe", "od": 3.0, "wall": 0.047}, more} {
		fill(t, o.Model, o.Model.Line, r, l.Set, l.SetText)
	}
	out, err := o.Work(l, 0)
	require.NoError(t, err)
	return o, l, out
}

// An input that the kind of a joint does not ask for moves nothing, whatever it is;
// what is given as it would be anyway, or is 0, is not asked about.
func TestIdle(t *testing.T) {
	pie := row{"kind": "pie cut", "bend": 90.0, "pie_angle": 15.0, "clr": 5.0}
	for _, c := range []struct {
		name string
		row  row
		want map[string]string // by input: the kind that would count it
	}{
		{"a plain butt", row{"kind": "butt", "qty": 2.0, "tube": 7.0}, nil},
		{"a bend on a butt", row{"kind": "butt", "bend": 90.0}, map[string]string{"bend": "pie cut"}},
		{"a bend and a pie angle on a butt", row{"bend": 90.0, "pie_angle": 10.0}, map[string]string{"bend": "pie cut", "pie_angle": "pie cut"}},
		{"a pie angle copied down, as it would be anyway", row{"kind": "butt", "pie_angle": 15.0}, nil},
		{"a pie angle without a bend", row{"kind": "butt", "pie_angle": 10.0}, map[string]string{"pie_angle": "pie cut"}},
		{"a centreline radius without a bend", row{"kind": "butt", "clr": 6.0}, map[string]string{"clr": "pie cut"}},
		{"an angle of a branch without its main tube", row{"kind": "butt", "branch_angle": 60.0}, map[string]string{"branch_angle": "branch"}},
		{"end pieces without a bend", row{"kind": "butt", "ends": "full"}, map[string]string{"ends": "pie cut"}},
		{"a bend of 0", row{"kind": "butt", "bend": 0.0}, nil},
		{"pies", pie, nil},
		{"a leg on pies", row{"kind": "pie cut", "bend": 90.0, "leg": 0.2}, map[string]string{"leg": "fillet"}},
		{"a fillet", row{"kind": "fillet", "leg": 0.2, "sides": 2.0}, nil},
		{"a main tube on a butt", row{"kind": "butt", "run_od": 3.5}, map[string]string{"run_od": "branch"}},
		{"a branch", row{"kind": "branch", "od": 2.5, "run_od": 3.0, "branch_angle": 60.0}, nil},
		{"a length to purge, not purged", row{"kind": "butt", "purges": 0.0, "purge_length": 30.0}, map[string]string{"purge_length": ""}},
		{"typed over", row{"kind": "butt", "bend": 90.0, "floor_time": 12.0}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			o, l, out := workedLine(t, c.row)
			require.False(t, out.Refused, "%v", out.Why)
			before := fmt.Sprint(l.Frame)
			got := map[string]string{}
			for _, idle := range o.Idle(l) {
				got[idle.Input.Key] = idle.Kind
			}
			if c.want == nil {
				c.want = map[string]string{}
			}
			assert.Equal(t, c.want, got)
			assert.True(t, before == fmt.Sprint(l.Frame), "the line stays as it was")
			assert.Equal(t, o.Idle(l), o.Idle(l))
		})
	}
}
