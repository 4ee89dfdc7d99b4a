package compute_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
)

// A check that points at no input of a row is refused when the model is read.
func TestChecksPointAtInputs(t *testing.T) {
	for _, c := range []struct{ other, says string }{
		{"cell qty arc_time\n", `^line\.txt:\d+: cell names the inputs that a check is about, and arc_time is none`},
		{"", `^line\.txt:\d+: a check of a row says under cell`},
	} {
		_, err := compute.Load(copyOf(t, "line.txt", "cell qty passes\n", c.other), model.US)
		require.Error(t, err, c.other)
		assert.Regexp(t, c.says, err.Error())
	}
}

// A refusal stands at the input that it is about, not always at the one that its
// check names.
func TestBlame(t *testing.T) {
	for _, c := range []struct {
		row   row
		check string
		want  string
	}{
		{row{"tube": -7.0}, "amount_wrong", "tube"},
		{row{"tube": -7.0, "leg": 0.1, "gap": 0.01}, "amount_wrong", "tube"},
		{row{"kind": "fillet", "leg": -0.1}, "amount_wrong", "leg"},
		{row{"tube": -7.0, "gap": -1.0}, "amount_wrong", "leg"}, // two: clearing one is not enough
		{row{"purges": -1.0}, "amount_wrong", "purges"},
		{row{"passes": 0.5}, "count_wrong", "passes"},
		{row{"qty": 0.5}, "count_wrong", "qty"},
		{row{"kind": "pie cut"}, "bend_wrong", "bend"}, // missing, so the one that is named
	} {
		o, l, out := workedLine(t, c.row)
		require.True(t, out.Refused, "%v", c.row)
		require.Equal(t, c.check, out.Why.Key)
		assert.Equal(t, c.want, o.Blame(l, out.Why, nil).Key, "%v", c.row)
	}
}

// It stands at what is typed over, where that is the cause.
func TestBlameOfTypedOver(t *testing.T) {
	for _, c := range []struct {
		typed map[string]float64
		want  string
	}{
		{map[string]float64{"setup_no": 9}, "setup_no"},
		{map[string]float64{"labour": 5, "setup_no": 9}, "setup_no"}, // the other has nothing to do with it
		{map[string]float64{"labour": 5, "bad": -7}, "tube"},
	} {
		r := row{"setup": "cup, stop and start"}
		if x, is := c.typed["bad"]; is {
			r["tube"] = x
			delete(c.typed, "bad")
		}
		o, l, _ := workedLine(t, r)
		var typed []*model.Quantity
		for _, q := range o.Model.Line.Quantities {
			if x, is := c.typed[q.Key]; is {
				l.Set(q, x)
				typed = append(typed, q)
			}
		}
		out, err := o.Work(l, 0)
		require.NoError(t, err)
		require.True(t, out.Refused)
		assert.Equal(t, c.want, o.Blame(l, out.Why, typed).Key, "%v", c.typed)
	}
}
