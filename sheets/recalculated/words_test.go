package recalculated_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// The shop's own words, which a run reads, and numbers kept as text, typed into a
// workbook that was priced: the row says that it is to be priced again, Summary
// names it, and the order is not complete. None is taken for something else
// meanwhile. Priced again, the row is right.
func TestRowsWithErrorsNeverSayOK(t *testing.T) {
	wide := shop.Edited(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")), func(f *excelize.File) {
		for ref, v := range map[string]any{"K1": "Filler", "L1": "Weld colour", "M1": "End pies"} {
			require.NoError(t, f.SetCellValue("Joints", ref, v))
		}
	})
	clean, rep := shop.Price(t, wide)
	require.True(t, rep.Complete, "%v", rep.Findings)
	var scenes []shop.Scene
	for _, c := range []struct {
		ref   string
		value any
	}{
		{"J3", "CP2"}, {"G3", "cup"}, {"C3", "girth weld"}, {"E3", "2.5"}, {"E3", `3"`}, {"F3", "0.035"}, {"D3", "3"}, {"I3", "30"}, {"H3", "yes"},
		{"K3", "fusion"}, {"K3", "y"}, {"K3", true}, {"L3", "gold"}, {"M3", "whole"},
	} {
		scenes = append(scenes, shop.Scene{
			Name: c.ref + " " + sheetText(c.value),
			Make: func(t *testing.T) []string { return []string{shop.TypeIn(t, clean, shop.At("Joints", c.ref, c.value))} },
			Check: func(t *testing.T, _ []string, live []sheetstest.Grid) {
				g := live[0]
				assert.Equal(t, "ok", shop.Figure(t, g, "Joints", "check", 2).Text)
				assert.Equal(t, "price again", shop.Figure(t, g, "Joints", "check", 3).Text)
				assert.Equal(t, "INCOMPLETE", shop.Master(g))
				assert.Positive(t, shop.OnWorkings(t, g, shop.LabelErrors))
				want := "$" + shop.OurColumn(t, g, "Joints", "check") + "$3"
				found := false
				for _, v := range g["Workings"] {
					found = found || v.Text == want
				}
				assert.True(t, found, "Summary names %s", want)
			},
		})
	}
	scenes = append(shop.Some(scenes, 2), shop.Scene{
		Name: "words of the program and numbers",
		Make: func(t *testing.T) []string {
			return []string{shop.TypeIn(t, clean, shop.At("Joints", "K3", "No"), shop.At("Joints", "L3", "blue"), shop.At("Joints", "M3", "full"),
				shop.At("Joints", "J3", "Grade 2"), shop.At("Joints", "I3", nil))}
		},
		Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
			assert.Equal(t, "ok", shop.Figure(t, live[0], "Joints", "check", 3).Text)
			assert.Equal(t, "COMPLETE", shop.Master(live[0]))
			assert.Zero(t, shop.Figure(t, live[0], "Joints", "filler_mass", 3).Num, "fusion")
			_, again := shop.Price(t, paths[0])
			assert.InEpsilon(t, again.Order["order_price"], shop.OnWorkings(t, live[0], shop.LabelPrice), 1e-9)
		},
	})
	shop.Play(t, scenes...)
}

func sheetText(v any) string {
	if s, is := v.(string); is {
		return s
	}
	return "TRUE"
}
