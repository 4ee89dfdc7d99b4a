package compute_test

import (
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/templates"
)

// textCell sets a text on the first line of a table.
func textCell(table, key, s string) turn {
	return func(b *bench) {
		t := b.m.Table(table)
		b.v.Rows(t).Frames[0].Text[t.Quantity(key).TextSlot] = s
	}
}

// blankCell takes a number out of the first line of a table.
func blankCell(table, key string) turn {
	return func(b *bench) {
		t := b.m.Table(table)
		b.v.Rows(t).Frames[0].Num[t.Quantity(key).Slot] = compute.NewLine(b.m).Frame.Num[0]
	}
}

func both(turns ...turn) turn {
	return func(b *bench) {
		for _, t := range turns {
			t(b)
		}
	}
}

// copied adds a copy of the first line of a table, with one number otherwise.
func copied(table, key string, x float64) turn {
	return func(b *bench) {
		t := b.m.Table(table)
		first, f := b.v.Rows(t).Frames[0], b.v.AddRow(t)
		copy(f.Num, first.Num)
		copy(f.Text, first.Text)
		f.Num[t.Quantity(key).Slot] = x
	}
}

// Cells of the tables that would make a price wrong are told, those beside them
// are not. The joint is a butt of the first line of Stock, with the first rod,
// under the first set-up. What is usual is common practice, no source.
func TestDoubtsOfTables(t *testing.T) {
	t.Parallel()
	r := row{"od": 1.5, "wall": 0.035, "wire": 0.035}
	for name, c := range map[string]struct {
		set     turn
		row     row
		want    string // "" for none
		look    bool
		refused bool
	}{
		"as shipped":                       {set: func(*bench) {}},
		"quantity of hours left out":       {set: both(blankCell("parts", "quantity"), cells("parts", row{"hours_each": 10})), want: "parts 1 quantity: quantity is blank, and counts as nothing"},
		"quantity of money left out":       {set: both(blankCell("parts", "quantity"), cells("parts", row{"cost_each": 100})), want: "parts 1 quantity: quantity is blank, and counts as nothing"},
		"quantity of nothing left out":     {set: blankCell("parts", "quantity")},
		"a quantity of 0 is said":          {set: cells("parts", row{"quantity": 0, "hours_each": 10})},
		"once is no word":                  {set: textCell("parts", "per", "once"), want: `parts 1 per: for each is "once", which is none of its words`},
		"a word in capitals":               {set: textCell("parts", "per", "Order")},
		"for each, blank":                  {set: textCell("parts", "per", "")},
		"no purge flow":                    {set: blankCell("setups", "purge_flow"), refused: true, want: "setups 1 purge_flow: purge flow, filling is blank, and counts as nothing"},
		"no purge flow, said":              {set: cells("setups", row{"purge_flow": 0}), want: "setups 1 purge_flow: purge flow, filling is 0"},
		"no torch flow, said":              {set: cells("setups", row{"torch_flow": 0}), want: "setups 1 torch_flow: torch flow is 0"},
		"no trail flow, said":              {set: cells("setups", row{"trail_flow": 0})},
		"a bid of 0":                       {set: cells("cars", row{"bid": 0}), want: "cars 1 bid: bid for one car is 0, and counts as a blank: none is offered"},
		"no bid":                           {set: blankCell("cars", "bid")},
		"no share of the bore":             {set: blankCell("setups", "bead_share"), want: "setups 1 bead_share: share of the bore welded before a stop is blank, and counts as nothing"},
		"no share, and a longest run":      {set: both(blankCell("setups", "bead_share"), cells("setups", row{"longest_run": 3}))},
		"a share in percent":               {set: cells("setups", row{"bead_share": 5}), want: "setups 1 bead_share: share of the bore welded before a stop is 500 %, and is usually 20 to 80"},
		"walls that do not rise":           {set: cells("walls", row{"to": 0.06}), want: "walls 2 to: wall up to is 0.055 in, and the line above has 0.06 in: the lines do not rise"},
		"walls that rise":                  {set: cells("walls", row{"to": 0.05})},
		"a wall twice":                     {set: cells("walls", row{"to": 0.055}), want: "walls 2 to: wall up to is 0.055 in, and the line above has 0.055 in: the lines do not rise"},
		"the rest not last":                {set: blankCell("walls", "to"), want: "walls 1 to: wall up to is blank, and lines stand below it"},
		"no purge flow, of another set-up": {set: blankCell("setups", "purge_flow"), row: row{"setup": "trailing shield, by hand"}},
		"whole sticks without a length":    {set: both(blankCell("stock", "stick"), textCell("stock", "charge", "whole sticks")), want: "stock 1 stick: stick length is blank, and counts as nothing"},
		"used, without a stick length":     {set: blankCell("stock", "stick")},
		"a rod without density":            {set: blankCell("fillers", "density"), want: "fillers 1 density: density is blank, and counts as nothing"},
		"a rod without length":             {set: blankCell("fillers", "length"), want: "fillers 1 length: rod length is blank, and counts as nothing", look: true},
		"a size twice":                     {set: copied("stock", "price", 99), want: "stock 17 alloy: the same as line 1, with another price; only the first is found"},
		"a size twice, alike":              {set: copied("stock", "price", 19.50)},
		"a size twice, not used":           {set: copied("stock", "price", 99), row: row{"od": 3, "wall": 0.047}},
		"a rod twice":                      {set: copied("fillers", "length", 40), want: "fillers 7 alloy: the same as line 1, with another rod length; only the first is found"},
		"cup 16 for #16":                   {set: cells("setups", row{"cup_bore": 16}), want: "setups 1 cup_bore: cup bore, or its number (#16) is 16 in, and is usually 0.25 to 1.5"},
		"cup 4 for #4":                     {set: cells("setups", row{"cup_bore": 4}), want: "setups 1 cup_bore: cup bore, or its number (#16) is 4 in, and is usually 0.25 to 1.5"},
		"a cup of 1.6 in":                  {set: cells("setups", row{"cup_bore": 1.6}), want: "setups 1 cup_bore: cup bore, or its number (#16) is 1.6 in, and is usually 0.25 to 1.5", look: true},
		"a cup of 1.5 in":                  {set: cells("setups", row{"cup_bore": 1.5})},
		"travel in mm":                     {set: cells("setups", row{"travel": 200}), want: "setups 1 travel: travel is 200 in/min, and is usually 0.5 to 20"},
		"travel a little fast":             {set: cells("setups", row{"travel": 21}), want: "setups 1 travel: travel is 21 in/min, and is usually 0.5 to 20", look: true},
		"a density in g":                   {set: cells("alloys", row{"density": 4.51}), want: "alloys 1 density: density is 4.51 lb/in³, and is usually 0.09 to 0.35"},
		"a mount in hours":                 {set: cells("setups", row{"mount": 0.01}), want: "setups 1 mount: mount, one weld is 0.01 min, and is usually 0.2 to 30"},
		"a tube at ten times the price":    {set: cells("stock", row{"price": 195}), want: "stock 1 price: price is 195 $/ft; by the other lines of grade 2 it would be about 19.2 $/ft", look: true},
		"a tube at a tenth of the price":   {set: cells("stock", row{"price": 1.95}), want: "stock 1 price: price is 1.95 $/ft; by the other lines of grade 2 it would be about 19.2 $/ft", look: true},
		"a tube for nothing":               {set: cells("stock", row{"price": 0}), want: "stock 1 price: price is 0 $/ft; by the other lines of grade 2 it would be about 19.2 $/ft", look: true},
		"a tube at four times the price":   {set: cells("stock", row{"price": 78})},
		"a rod at six times the price":     {set: cells("fillers", row{"price": 490}), want: "fillers 1 price: price is 490 $/lb; by the other lines of grade 2 it would be about 81 $/lb", look: true},
		"a tube of an alloy that is alone": {set: both(textCell("stock", "alloy", "304L"), cells("stock", row{"price": 195})), row: row{"alloy": "304L", "wire": 0.045}},
		"work twice":                       {set: both(cells("parts", row{"quantity": 1, "hours_each": 10}), copied("parts", "hours_each", 10)), want: "parts 21 item: \"Flanges\" is on line 1 too, for the same cars; both count"},
		"work twice, of other hours":       {set: both(cells("parts", row{"quantity": 1, "hours_each": 10}), copied("parts", "hours_each", 12)), want: "parts 21 item: \"Flanges\" is on line 1 too, for the same cars; both count", look: true},
		"work twice, of nothing":           {set: both(blankCell("parts", "quantity"), copied("parts", "hours_each", 0))},
		"no colour rule":                   {set: textCell("alloys", "colour_rule", ""), want: "alloys 1 colour_rule: colour rule is blank"},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t, model.US)
			c.set(b)
			e, err := compute.NewEngine(b.v)
			require.NoError(t, err)
			l := compute.NewLine(b.m)
			l.Clear()
			in := row{"car": "Coupe"}
			for _, from := range []row{r, c.row} {
				for k, x := range from {
					in[k] = x
				}
			}
			fill(t, b.m, b.m.Line, in, l.Set, l.SetText)
			out, err := e.Work(l, 0)
			require.NoError(t, err)
			require.Equal(t, c.refused, out.Refused, "%v", out.Why)
			list, err := e.Doubts()
			require.NoError(t, err)
			if c.want == "" {
				assert.Empty(t, list)
				return
			}
			require.Len(t, list, 1)
			d := list[0]
			assert.Equal(t, c.want, fmt.Sprintf("%s %d %s: %s", d.Table.Name, d.Row, d.Column.Key, d.What))
			assert.Equal(t, c.look, d.Look)
			assert.NotEmpty(t, d.Fix)
		})
	}
}

// Every column of every table says what a blank is, and every number that is not
// money or an angle has its range, which the shipped lines keep.
func TestEveryColumnIsGuarded(t *testing.T) {
	for _, s := range []model.System{model.US, model.Metric} {
		m := load(t, s)
		for _, table := range m.Tables {
			for _, q := range table.Quantities {
				if q.Role != model.Column {
					continue
				}
				require.NotNil(t, q.Guard, q.ID())
				free := q.IsText() || strings.Contains(q.Unit.String(), "$") || q.UnitOf == "°"
				assert.True(t, free || q.HasRange, q.ID())
				for i, r := range table.Rows {
					x := r.Num[q.Slot]
					assert.False(t, q.HasRange && x != 0 && (x < q.Low || x > q.High), "%s, line %d: %v", q.ID(), i+1, x)
				}
			}
		}
	}
}

// A slip in a guard is refused when the model is read, with its place.
func TestGuardsThatCannotBeRead(t *testing.T) {
	data, err := fs.ReadFile(templates.FS, "tables.txt")
	require.NoError(t, err)
	old := "column travel | Travel | travel | 0.5 to 20 | asked\n"
	require.Contains(t, string(data), old)
	for now, says := range map[string]string{
		"column travel | Travel | travel\n":                                                "five parts",
		"column travel | Travel | travel | 0.5 | asked\n":                                  "written low to high",
		"column travel | Travel | travel | 0.5 to 20 | maybe\n":                            "what a blank travel is",
		"column travel | Travel | travel | 0.5 to 20 | asked where (a\n":                   "tables.txt",
		"column travel | Travel | travel | alike of one bore | asked\n":                    "alike of one word",
		"column travel | Travel | travel | alike by cup_bore, of one name | asked\n":       "with its unit",
		"column travel | Travel | travel | alike by cup_bore, s, of one name | asked\n":    "length",
		"column travel | Travel | travel | alike by cup_bore, ells, of one name | asked\n": "ells",
		"column travel | Travel | travel | 0.5 to 20 | asked where a=1\n":                  "nothing is called a here",
	} {
		_, err := compute.Load(copyOf(t, "tables.txt", old, now), model.US)
		require.Error(t, err, now)
		assert.Contains(t, err.Error(), says)
	}
}
