package compute_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
)

// What is still to be typed of tube, rods and other work is counted: worked by
// hand over one joint, of the first line of Stock and of the first rod.
func whatTablesLack(t require.TestingT) {
	for _, c := range []struct {
		name                     string
		set                      []turn
		qty                      float64
		tube, rod                string
		lacks, uncounted, unsaid float64
		done                     float64 // lines of other work that are settled, of 20
	}{
		{name: "as shipped", qty: 1},
		{name: "whole sticks without a length", set: []turn{textCell("stock", "charge", "whole sticks"), blankCell("stock", "stick")}, qty: 1, tube: "stick length", lacks: 1},
		{name: "of which none is needed", set: []turn{textCell("stock", "charge", "whole sticks"), blankCell("stock", "stick")}},
		{name: "whole sticks", set: []turn{textCell("stock", "charge", "whole sticks")}, qty: 1},
		{name: "charged as used", set: []turn{blankCell("stock", "stick")}, qty: 1},
		{name: "a rod without density", set: []turn{blankCell("fillers", "density")}, qty: 1, rod: "density", lacks: 1},
		{name: "both", set: []turn{textCell("stock", "charge", "whole sticks"), blankCell("stock", "stick"), blankCell("fillers", "density")}, qty: 1, tube: "stick length", rod: "density", lacks: 2},
		{name: "hours without a quantity", set: []turn{cells("parts", row{"hours_each": 10}), blankCell("parts", "quantity")}, qty: 1, uncounted: 1, done: 1},
		{name: "a cost without a quantity", set: []turn{cells("parts", row{"cost_each": 5}), blankCell("parts", "quantity")}, qty: 1, uncounted: 1, done: 1},
		{name: "both on one line", set: []turn{cells("parts", row{"hours_each": 10, "cost_each": 5}), blankCell("parts", "quantity")}, qty: 1, uncounted: 1, done: 1},
		{name: "a quantity of 0", set: []turn{cells("parts", row{"hours_each": 10, "quantity": 0})}, qty: 1, done: 1},
		{name: "none", set: []turn{textCell("parts", "basis", "none")}, qty: 1, done: 1},
		{name: "said otherwise", set: []turn{textCell("parts", "basis", "to fill in")}, qty: 1},
		{name: "none, and why", set: []turn{textCell("parts", "basis", "None: the customer sends them")}, qty: 1, done: 1},
		{name: "no item", set: []turn{textCell("parts", "item", "")}, qty: 1, done: 1},
		{name: "as before, shouted", set: []turn{textCell("parts", "basis", "FILL IN OR LEAVE")}, qty: 1},
		{name: "neither hours nor cost", set: []turn{blankCell("parts", "hours_each"), blankCell("parts", "cost_each")}, qty: 1},
		{name: "nothing at all", set: []turn{blankCell("parts", "quantity")}, qty: 1},
		{name: "another word than car or order", set: []turn{textCell("parts", "per", "once")}, qty: 1, unsaid: 1},
		{name: "order", set: []turn{textCell("parts", "per", "Order")}, qty: 1},
		{name: "no word", set: []turn{textCell("parts", "per", "")}, qty: 1},
	} {
		b := newBench(t, model.US)
		for _, set := range c.set {
			set(b)
		}
		e, err := compute.NewEngine(b.v)
		require.NoError(t, err)
		e.OpenLists(1)
		l := compute.NewLine(b.m)
		l.Clear()
		fill(t, b.m, b.m.Line, row{"car": "Coupe", "od": 1.5, "wall": 0.035, "wire": 0.035, "qty": c.qty}, l.Set, l.SetText)
		out, err := e.Work(l, 0)
		require.NoError(t, err)
		require.False(t, out.Refused, "%v", out.Why)
		_, err = e.Close()
		require.NoError(t, err)
		e.Judge()
		for scope, want := range map[string]string{"tube": c.tube, "rods": c.rod} {
			s := b.m.ClosingScope(scope)
			key := map[string]string{"tube": "tube_lacks", "rods": "rod_lacks"}[scope]
			assert.Equal(t, want, s.Quantity(key).Text(b.v.Rows(s).Frames[0]), "%s: %s", c.name, key)
		}
		for key, want := range map[string]float64{"metal_lacks": c.lacks, "parts_uncounted": c.uncounted, "parts_unworded": c.unsaid, "parts_open": 20 - c.done} {
			assert.Equal(t, want, b.m.Ready.Quantity(key).Num(b.v.Once(b.m.Ready)), "%s: %s", c.name, key)
		}
	}
}

func TestWhatTablesLack(t *testing.T) { whatTablesLack(t) }

// An input is usual as such, and as a multiple of another on its row; 0 is no
// multiple, and what a blank stands for is not typed. Common practice, no source.
func TestUsualInputs(t *testing.T) {
	for _, c := range []struct {
		system model.System
		key    string
		row    row
		usual  string
	}{
		{model.US, "leg", row{"leg": 3}, "0 to 0.75"},
		{model.US, "leg", row{"leg": 0.3}, "0.0235 to 0.282 at that wall"},
		{model.US, "leg", row{"leg": 0.282}, ""},
		{model.US, "leg", row{"leg": 0.0235}, ""},
		{model.US, "leg", row{"leg": 0.02}, "0.0235 to 0.282 at that wall"},
		{model.US, "leg", row{"leg": 0}, ""},
		{model.US, "gap", row{"gap": 0.05}, "0 to 0.047 at that wall"},
		{model.US, "run_od", row{"run_od": 2.5}, "3 to 24 at that outside diameter"},
		{model.US, "run_od", row{"run_od": 3}, ""},
		{model.US, "clr", row{"clr": 31}, "2.97 to 30 at that outside diameter"},
		{model.US, "tube", row{"tube": 350}, "0 to 150"},
		{model.US, "passes", row{"passes": 12}, "1 to 6"},
		{model.US, "purges", row{"purges": 40}, "0 to 12"},
		{model.Metric, "leg", row{"leg": 0.3}, "0.597 to 7.16 at that wall"}, // in mm: the walls and legs above
		{model.Metric, "leg", row{"leg": 0.28}, ""},
	} {
		m := load(t, c.system)
		l := compute.NewLine(m)
		l.Clear()
		fill(t, m, m.Line, with(c.row), l.Set, l.SetText)
		assert.Equal(t, c.usual, m.Line.Quantity(c.key).Unusual(&l.Frame), "%v", c.row)
	}
	for now, says := range map[string]string{
		"0.5 to 6 of nothing": `there is no input "nothing" of its unit above leg`,
		"0.5 to 6 of qty":     `there is no input "qty" of its unit above leg`,
		"0.5 of wall":         "the usual multiples of leg are written low to high",
	} {
		_, err := compute.Load(copyOf(t, "line.txt", "0.5 to 6 of wall", now), model.US)
		require.Error(t, err)
		assert.Contains(t, err.Error(), says)
	}
}
