package compute_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// setupFlags works out the shipped set-up of that number with some of its
// cells changed; nil empties a cell.
func setupFlags(t require.TestingT, s model.System, no int, set map[string]any) (func(key string) float64, compute.Outcome) {
	b := newBench(t, s)
	for key, x := range set {
		num := formula.Blank()
		if x != nil {
			num = row{"x": x}.num("x", 0)
		}
		b.cell("setups", no, key, num)
	}
	table := b.m.Table("setups")
	f := b.v.Rows(table).Frames[no]
	od, wall := 3.0, 0.047
	if s == model.Metric {
		od, wall = 76.1, 1.2
	}
	_, out, _ := b.work(row{"od": od, "wall": wall, "setup": table.Quantity("name").Text(f)})
	return func(key string) float64 { return table.Quantity(key).Num(f) }, out
}

// A set-up's line that cannot be meant is told by the flags of what is
// wrong with it, and its rows are refused; its neighbour serves.
func TestSetupLineThatCannotBeMeant(t *testing.T) { setupLineThatCannotBeMeant(t) }

func setupLineThatCannotBeMeant(t require.TestingT) {
	flags := []string{"flow_wrong", "wait_wrong", "length_wrong", "bore_missing"}
	for _, c := range []struct {
		no    int // the cup; the shield on rolls; the shield by hand
		cell  string
		wrong any
		flags []string // the travel has none
		right any
	}{
		{0, "travel", 0, nil, 0.01},
		{0, "travel", nil, nil, 3},
		{0, "travel", -3, nil, 3},
		{0, "torch_flow", -0.01, []string{"flow_wrong"}, 0},
		{0, "torch_flow", nil, []string{"flow_wrong"}, 0},
		{0, "trail_flow", -1, []string{"flow_wrong"}, 0},
		{0, "trail_flow", nil, []string{"flow_wrong"}, 0},
		{0, "purge_flow", -1, []string{"flow_wrong"}, 0},
		{0, "purge_flow", nil, []string{"flow_wrong"}, 0},
		{0, "purge_hold", -1, []string{"flow_wrong"}, 0},
		{0, "purge_hold", nil, []string{"flow_wrong"}, 0},
		{0, "pre_flow", -0.01, []string{"wait_wrong"}, 0},
		{0, "pre_flow", nil, []string{"wait_wrong"}, 0},
		{0, "post_flow", -1, []string{"wait_wrong"}, 0},
		{0, "post_flow", nil, []string{"wait_wrong"}, 0},
		{0, "reposition", -1, []string{"wait_wrong"}, 0},
		{0, "reposition", nil, []string{"wait_wrong"}, 0},
		{0, "mount", -1, []string{"wait_wrong"}, 0},
		{0, "mount", nil, []string{"wait_wrong"}, 0},
		{1, "cup_bore", -0.75, []string{"length_wrong"}, nil}, // no share of it, so none is needed
		{0, "longest_run", -3, []string{"length_wrong"}, nil}, // though the share of the bore is what counts
		{2, "longest_run", -3, []string{"length_wrong"}, nil},
		{1, "bead_share", -0.5, []string{"length_wrong", "bore_missing"}, nil}, // so is the bead that comes of it
		{0, "cup_bore", nil, []string{"bore_missing"}, 0.25},
		{0, "cup_bore", 0, []string{"bore_missing"}, 0.25},
	} {
		for _, s := range []model.System{model.US, model.Metric} {
			where := fmt.Sprintf("%s book, set-up %d, %s of %v", s, c.no+1, c.cell, c.wrong)
			get, out := setupFlags(t, s, c.no, map[string]any{c.cell: c.wrong})
			require.True(t, out.Refused, where)
			assert.Equal(t, "setup_wrong", out.Why.Key, where)
			assert.Equal(t, 1.0, get("setup_wrong"), where)
			for _, flag := range flags {
				if slices.Contains(c.flags, flag) {
					assert.Equal(t, 1.0, get(flag), "%s: %s", where, flag)
				} else {
					assert.Zero(t, get(flag), "%s: %s", where, flag)
				}
			}
			get, out = setupFlags(t, s, c.no, map[string]any{c.cell: c.right})
			assert.False(t, out.Refused, "%s is refused, not %v", where, c.right)
			assert.Zero(t, get("setup_wrong"))
		}
	}
}

// The bead before a stop is a share of the bore, else what the hand reaches;
// where neither is typed it runs round, which is no mistake.
func TestBeadOfASetup(t *testing.T) { beadOfASetup(t) }

func beadOfASetup(t require.TestingT) {
	for _, c := range []struct {
		set  map[string]any
		want float64
	}{
		{map[string]any{}, 0.5},
		{map[string]any{"longest_run": 3}, 0.5},
		{map[string]any{"bead_share": 0, "longest_run": 3}, 3},
		{map[string]any{"bead_share": nil, "longest_run": 3}, 3},
		{map[string]any{"bead_share": nil, "longest_run": nil}, 0},
		{map[string]any{"bead_share": nil, "longest_run": nil, "cup_bore": nil}, 0},
	} {
		get, out := setupFlags(t, model.US, 0, c.set)
		require.False(t, out.Refused, "%v", c.set)
		assert.Equal(t, c.want, get("run_limit"), "%v", c.set)
	}
	b := newBench(t, model.US)
	b.cell("setups", 0, "bead_share", formula.Blank())
	get, _, _ := b.work(with(nil))
	assert.Equal(t, 1.0, get("starts"))
	assert.Equal(t, get("seam"), get("bead_limit"))
	assert.True(t, formula.IsBlank(get("dabs_per_start")))
}

// The gas leaves the metal too soon after a short post-flow, or a long bead:
// at the shop's own bounds it does not (common practice, no source).
func TestCoverOfASetup(t *testing.T) { coverOfASetup(t) }

func coverOfASetup(t require.TestingT) {
	for _, c := range []struct {
		set  map[string]any
		want float64
	}{
		{map[string]any{"post_flow": 10, "bead_share": 0.5}, 0},
		{map[string]any{"post_flow": 9.99}, 1},
		{map[string]any{"post_flow": 0}, 1},
		{map[string]any{"bead_share": 0.501}, 1},
		{map[string]any{"bead_share": nil}, 0},
	} {
		get, out := setupFlags(t, model.US, 0, c.set)
		require.False(t, out.Refused)
		assert.Equal(t, c.want, get("cover_short"), "%v", c.set)
	}
	b := newBench(t, model.US)
	b.assume("most_bead_share", 0.6)
	b.cell("setups", 0, "bead_share", 0.55)
	b.work(with(nil))
	setups := b.m.Table("setups")
	assert.Zero(t, setups.Quantity("cover_short").Num(b.v.Rows(setups).Frames[0]), "a shop that welds longer beads")
}

// An empty or unknown travel factor refuses the rows that need it, and no
// others.
func TestBlankTravelFactors(t *testing.T) {
	b := newBench(t, model.US)
	b.cell("kinds", 0, "travel_factor", formula.Blank())
	_, out, _ := b.work(with(nil))
	require.True(t, out.Refused)
	assert.Equal(t, "setup_wrong", out.Why.Key)
	_, out, _ = b.work(with(row{"kind": "fillet"}))
	assert.False(t, out.Refused)

	b = newBench(t, model.US)
	b.cell("walls", 1, "factor", formula.Blank())
	_, out, _ = b.work(with(nil))
	require.True(t, out.Refused)
	assert.Equal(t, "setup_wrong", out.Why.Key)
	_, out, _ = b.work(with(row{"wall": 0.035}))
	assert.False(t, out.Refused)
}

// A wall belongs to the bound that it equals, also where it was typed in the
// other book's unit and the conversion leaves dust: 1 in = 25.4 mm exactly.
func TestWallConvertedToItsBound(t *testing.T) {
	us, metric := newBench(t, model.US), newBench(t, model.Metric)
	for i, c := range []struct{ in, mm float64 }{{0.04, 1}, {0.055, 1.4}, {0.07, 1.8}} {
		no := float64(i + 1)
		for _, x := range []struct {
			b          *bench
			od, wall   float64
			step, same float64
		}{
			{us, 3, c.in * 25.4 / 25.4, 1e-3, 0},
			{us, 3, c.in, 1e-6, 1e-8},
			{metric, 76.1, c.mm, 1e-6, 1e-8},
			{metric, 76.1, c.mm / 25.4 * 25.4, 1e-3, 0},
			{metric, 76.1, (c.mm/25.4 + 1e-12) * 25.4, 1e-3, 0},
		} {
			get, _, _ := x.b.work(row{"od": x.od, "wall": x.wall})
			assert.Equal(t, no, get("wall_no"), "%s, wall %.17g", x.b.m.System, x.wall)
			get, _, _ = x.b.work(row{"od": x.od, "wall": x.wall + x.step})
			assert.Equal(t, no+1, get("wall_no"), "%s, over %.17g", x.b.m.System, x.wall)
			get, _, _ = x.b.work(row{"od": x.od, "wall": x.wall - x.step})
			assert.Equal(t, no, get("wall_no"), "%s, under %.17g", x.b.m.System, x.wall)
			get, _, _ = x.b.work(row{"od": x.od, "wall": x.wall + x.same})
			assert.Equal(t, no, get("wall_no"), "%s, dust over %.17g", x.b.m.System, x.wall)
		}
		// Each book has round bounds of its own: the wall that a metric shop
		// calls 1.0 mm is thinner than 0.040 in.
		get, _, _ := us.work(row{"od": 3, "wall": c.mm / 25.4})
		want := no
		if c.mm/25.4 > c.in {
			want++
		}
		assert.Equal(t, want, get("wall_no"), "%g mm in a book of inches", c.mm)
		get, _, _ = us.work(row{"od": 3, "wall": (c.in * 25.4) / 25.4})
		assert.Equal(t, no, get("wall_no"), "%g mm in a book of inches", c.in*25.4)
	}
}

// The last line holds for whatever is thicker than all bounds.
func TestWallOverAllBounds(t *testing.T) {
	b := newBench(t, model.US)
	get, out, _ := b.work(row{"od": 3, "wall": 1})
	require.False(t, out.Refused)
	assert.Equal(t, 4.0, get("wall_no"))
}
