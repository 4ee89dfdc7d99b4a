package compute_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/model"
)

// dilution is a bench that purges as perfectly mixed gas does, from one oxygen
// content to another, in ppm.
func dilution(t require.TestingT, s model.System, from, to float64) *bench {
	b := newBench(t, s)
	b.assume("purge_mixing", 1)
	b.assume("air_oxygen", from)
	b.assume("target_oxygen", to)
	return b
}

func changes(t require.TestingT, from, to float64) float64 {
	b := dilution(t, model.US, from, to)
	b.work(row{"od": 3, "wall": 0.047})
	return b.m.Singles.Quantity("purge_changes").Num(b.v.Singles)
}

// Well-mixed dilution, gas = V*LN(C1/C2): Crowl and Louvar, Chemical Process
// Safety (from memory).
func TestDilution(t *testing.T) {
	assert.InDelta(t, 1.39, changes(t, 200000, 50000), 0.005, "20 % to 5 %: 1.39 volumes (seen)")
	assert.InDelta(t, 9.95, changes(t, 209000, 10), 0.005, "20.9 % to 10 ppm (worked out)")
	assert.InDelta(t, 6, changes(t, 209000, 520), 0.01, "six volumes leave about 520 ppm of 20.9 % (worked out)")
}

// 3.4 m³ from 21 % to 1 % takes 10.4 m³: an engineering forum's worked case
// (seen).
func TestDilutionOfAVessel(t *testing.T) {
	b := dilution(t, model.Metric, 210000, 10000)
	b.assume("argon_loss", 0)
	for _, key := range []string{"torch_flow", "trail_flow", "purge_hold"} {
		b.cell("setups", 0, key, 0)
	}
	bore := 1200.0
	get, out, _ := b.work(row{"od": 100, "wall": 1, "purge_bore": bore, "purge_length": 3.4e9 / (math.Pi / 4 * bore * bore)})
	require.False(t, out.Refused)
	assert.InDelta(t, 10.4, get("purge_volume")/1000, 0.05, "m³")
	assert.InDelta(t, 10.4, get("argon")/1000, 0.05, "the line's argon is that fill")
	assert.InEpsilon(t, get("purge_volume")/10, get("purge_fill"), 1e-12, "minutes at 10 L/min")
}

// Flow times time is gas, whichever the book: a weld's torch gas at 1 ft³/h is
// 0.471947 L/min of it (NIST SP 811: from memory).
func TestFlowTimesTime(t *testing.T) {
	us, metric := newBench(t, model.US), newBench(t, model.Metric)
	us.cell("setups", 0, "torch_flow", 1)
	metric.cell("setups", 0, "torch_flow", 0.471947)
	gas := func(b *bench, od, wall float64) float64 {
		get, _, _ := b.work(row{"od": od, "wall": wall})
		return get("torch_gas") / (get("arc_time") + get("flow_tail") + get("tack_on"))
	}
	assert.InDelta(t, 1.0/60, gas(us, 3, 0.035), 1e-12, "ft³ a minute")
	assert.InDelta(t, 0.471947, gas(metric, 76.2, 0.889), 1e-9, "L a minute")
}

// EN ISO 9606-5:2000 accepts silver and straw; darker brown, purple, blue,
// grey and flaky white are refused (seen quoted). The shipped default is the
// darkest that passes there, and only where blue is accepted are the ends of
// beads left as they are.
func TestColourAccepted(t *testing.T) {
	b := newBench(t, model.US)
	colour := b.m.Singles.Quantity("default_colour")
	assert.Equal(t, "straw", colour.TextValue, "EN ISO 9606-5:2000")
	assert.Equal(t, []string{"bright", "straw", "blue"}, colour.Choices)
	for colour, cleaned := range map[string]bool{"bright": true, "straw": true, "blue": false} {
		get, _, _ := b.work(row{"od": 3, "wall": 0.047, "colour": colour})
		require.Positive(t, get("stops"))
		assert.Equal(t, cleaned, get("restart") > 0, colour)
		get, _, _ = b.work(row{"od": 3, "wall": 0.047, "colour": colour, "alloy": "304L"})
		assert.Zero(t, get("restart"), "the colours are titanium's")
	}
}
