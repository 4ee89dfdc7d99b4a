package compute_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
)

// steel is the density in lb/in³ of the weld-metal tables.
const steel = 0.283

// steelBench has the filler stock of the tables, all of it steel, and loses
// nothing: what is melted is what is deposited.
func steelBench(t require.TestingT) *bench {
	b := newBench(t, model.US)
	b.assume("filler_yield", 1)
	b.assume("fillet_convexity", 0)
	b.assume("crown_height_per_wall", 0)
	rods := b.v.Rows(b.m.Table("fillers"))
	for i := range rods.Frames {
		b.cell("fillers", i, "density", steel)
	}
	for i := range b.v.Rows(b.m.Table("alloys")).Frames { // what a rod that is not in stock takes
		b.cell("alloys", i, "density", steel)
	}
	return b
}

// Fillet of equal legs, steel at 0.283 lb/in³, no convexity, lb to the foot:
// weld-metal tables of a filler metal data handbook, p. 8-2 (seen).
func TestFilletMetal(t *testing.T) {
	b := steelBench(t)
	for leg, want := range map[float64]float64{1.0 / 8: .027, 1.0 / 4: .106, 1.0 / 2: .425} {
		get, out, _ := b.work(row{"kind": "fillet", "od": 4, "wall": 0.12, "leg": leg, "weld_length": 12})
		require.False(t, out.Refused)
		assert.InDelta(t, want, get("filler_mass"), .001, "leg %g in: filler metal data handbook, p. 8-2", leg)
	}
}

// Convexity adds its share of the flat fillet, and stubs and sticking are lost
// beside the weld: worked out.
func TestFilletConvexityAndYield(t *testing.T) {
	b := steelBench(t)
	in := row{"kind": "fillet", "od": 4, "wall": 0.12, "leg": 0.25, "weld_length": 12}
	get, _, _ := b.work(in)
	flat := get("filler_mass")
	b.assume("fillet_convexity", 0.10)
	b.assume("filler_yield", 0.80)
	get, _, _ = b.work(in)
	assert.InEpsilon(t, flat*1.10/0.80, get("filler_mass"), 1e-12)
}

// Square groove, thickness by gap, steel, lb to the foot: the same handbook
// (seen).
func TestSquareGrooveMetal(t *testing.T) {
	b := steelBench(t)
	for _, c := range []struct{ wall, gap, want float64 }{
		{1.0 / 8, 1.0 / 16, .027}, {3.0 / 16, 1.0 / 8, .080}, {1.0 / 4, 1.0 / 8, .106},
	} {
		get, out, _ := b.work(row{"kind": "seam", "od": 4, "wall": c.wall, "gap": c.gap, "weld_length": 12})
		require.False(t, out.Refused)
		assert.InDelta(t, c.want, get("filler_mass"), .001, "%g x %g in: filler metal data handbook, p. 8-2", c.wall, c.gap)
	}
}

// Reinforcement is two thirds of its width times its height: the same handbook
// (seen).
func TestReinforcement(t *testing.T) {
	b := steelBench(t)
	b.assume("bead_width_per_wall", 4)
	b.assume("crown_height_per_wall", 0.5)
	get, _, _ := b.work(row{"kind": "seam", "od": 4, "wall": 0.1, "weld_length": 12})
	assert.InEpsilon(t, 2.0/3*0.4*0.05*12*steel, get("filler_mass"), 1e-12, "a crown of 0.4 by 0.05 in")
}

// Wire, inches to the pound, mild steel: common handbook table (from memory).
func TestInchesToThePound(t *testing.T) {
	b := steelBench(t)
	for wire, want := range map[float64]float64{.030: 4960, .035: 3650, .045: 2210} {
		get, out, _ := b.work(row{"kind": "seam", "od": 4, "wall": 0.049, "gap": 0.01, "wire": wire, "weld_length": 12})
		require.False(t, out.Refused)
		assert.InEpsilon(t, want, get("filler_length")/get("filler_mass"), 0.02, "%g in wire: common handbook table, from memory", wire)
	}
}

// Density in g/cm³, to 0.5 %: supplier data (seen).
var suppliers = map[string]float64{
	"grade 2": 4.51, "Ti-3Al-2.5V": 4.48, "Ti-6Al-4V": 4.43, "304L": 7.93, "316L": 7.98, "alloy 625": 8.44,
}

func TestDensitiesAsShipped(t *testing.T) {
	for _, s := range []model.System{model.US, model.Metric} {
		m := load(t, s)
		v := compute.Defaults(m)
		toMetric := 1.0
		if s == model.US {
			toMetric = perUS["density"]
		}
		for _, c := range []struct{ table, name string }{{"alloys", "name"}, {"fillers", "alloy"}} {
			table := m.Table(c.table)
			seen := map[string]bool{}
			for _, f := range v.Rows(table).Frames {
				name := table.Quantity(c.name).Text(f)
				seen[name] = true
				require.Contains(t, suppliers, name)
				assert.InEpsilon(t, suppliers[name], table.Quantity("density").Num(f)*toMetric, 0.005,
					"%s book, %s, %s: supplier data", s, c.table, name)
			}
			if c.table == "alloys" {
				assert.Len(t, seen, len(suppliers))
			}
		}
	}
}

// A tube of the stock is as long as its joints take: a pie-cut bend uses what
// its axis measures, two tangents a pie, which closes on the arc as pies grow
// many (geometry, worked out).
func TestTubeOfABend(t *testing.T) {
	b := newBench(t, model.US)
	b.assume("kerf", 0)
	b.assume("facing", 0)
	b.assume("tube_scrap", 0)
	arc := math.Pi / 2 * 4.5
	last := math.Inf(1)
	for _, angle := range []float64{45, 30, 15, 5, 1} {
		get, out, _ := b.work(row{"kind": "pie cut", "od": 3, "wall": 0.047, "bend": 90, "pie_angle": angle, "clr": 4.5})
		require.False(t, out.Refused)
		used := get("tube_used") * 12
		assert.Greater(t, used, arc, fmt.Sprintf("%g° pies cut the corner outside of the arc", angle))
		assert.Less(t, used, last)
		last = used
	}
	assert.InEpsilon(t, arc, last, 1e-4)
}
