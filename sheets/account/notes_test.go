package account_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/book"
	"seamtally/sheets/sheetstest/shop"
)

// What shops note at joints, as common practice has it (no source): what changes a joint of
// three pieces, a bend of six pies with filler and one pass, and what does not.
var (
	changing = []string{
		"7 pies", "no purge", "no back purge", "no filler", "autogenous", "fused", "without wire", "one more", "add one", "add another", "+1", "extra flange here",
		"weld 180° only", "half only", "tack only", "only 80 deg", "wall is now .065", "now 2.25 in", "changed to 0.065", "18 ga instead", "use grade 9", "stainless",
		"skip", "see rev C", "as rev D", "x2 on this car", "double", "double pass", "two passes", "needs 2nd pass", "same on left", "LH same", "change to fillet",
		"do not weld", "delete this one", "drop this joint", "not required", "by others", "customer welds this", "weld on site by fitter", "leave for later",
		"qty tbc", "quantity wrong", "increase to 5", "thicker wall", "bigger tube", "wall up one gauge", "next size up", "CLR 6", "bend 60 not 90", "half of them on order 2",
		"one pass less", "only weld top half", "to be deleted", "not this order", "5 required", "grade 5 here", "OD should be 2.25", "wall to be .035",
		"scrap this", "bend now 45", "pie angle 10", "5 pieces", "2 fills", "repeat on right side", "quantity doubled", "bought bend", "thinner tube", "without purge", "ohne Zusatz", "free issue", "welded already",
		"make it .065", "use rolls", "swap to 2.25 in tube", "add 2 hangers to this pipe", "second pass outside", "purge it twice", "other shop does the rest of these", "not wanted any more", "hold off until customer decides", "skip until May", "change to butt",
	}
	idle = []string{
		"12 March 2026", "changed 12 March", "rev C", "jig 4", "J. Marsh", "torque 25 Nm", "polish", "polish optional", "no option", "fit check", "bead inside ok", "checked", "dwg DX-104",
		"tack first, then weld", "1. Tack before welding", "ring fixture 2", "grind flush outside", "clean with acetone", "left hand side", "see drawing", "weld 3rd", "before coating", "heat no 88412",
		"no undercut", "no sugar inside", "no rush", "not urgent", "keep square", "leak test at 5 psi", "M8 bolts", "station 6", "start at seam", "photo taken", "Monday", "ok",
		"deburr both ends", "mill cert on file", "dye check", "watch the heat", "wait until cold", "tight corner", "only qualified welders", "one at a time", "add to photo album",
		"measured 2 times", "hold with clamp", "cap the ends", "more light needed", "half a day", "see Bob", "look now", "stainless brush only", "purge checked",
		"filler rod in box 3", "pies numbered 1 to 6", "6 pies", "1 pass", "wall 0.049", "1st pass cold", "wall chart updated",
		"bag and tag", "serial 0042", "op 30", "Tue 14:30", "A3 print", "call when done", "use gloves", "keep dry", "photo 12", "OK to ship", "level 2 inspector", "weld log 17", "no scratches",
		"glass bead after", "bung faces up", "clock at 12", "tape ends", "next to tank", "only on bench 4", "double check fit", "see page 3", "set aside", "box 7", "second shift", "keep 2 mm from edge", "max 40 °C", "stamp J7",
		"skip lunch", "ignore scratches", "use the blue jig", "make 3 photos", "add flange gasket", "use 2.5 in tube", "use grade 2", "keep 18 ga offcuts", "clean both ends twice", "second shift", "go to page 3", "cut list sent", "switch to jig 4",
	}
)

// Each is asked about, or not, at a joint; a comment reads as a cell beside it would.
func TestWhatNotesSayOfJoints(t *testing.T) {
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", "Coupe"))
	write := func(row int, cells ...any) {
		require.NoError(t, f.SetSheetRow("Coupe", fmt.Sprintf("A%d", row), &cells))
	}
	write(1, "Joint", "Kind", "Qty", "OD (in)", "Wall (in)", "Filler", "Alloy", "Bend angle", "Pie angle", "CLR (in)")
	want := map[string]string{}
	for i, text := range append(append([]string{}, changing...), idle...) {
		write(i+2, fmt.Sprintf("K%d", i+1), "pie cut", 3, 2.5, 0.049, "yes", "grade 2", 90, 15, 4)
		cell := fmt.Sprintf("D%d", i+2)
		require.NoError(t, f.AddComment("Coupe", excelize.Comment{Cell: cell, Author: "A. Fitter", Text: text}))
		if i < len(changing) {
			want["Coupe!"+cell] = text
		}
	}
	_, rep := shop.Price(t, shop.Saved(t, f))
	got := map[string]string{}
	for _, f := range rep.Findings {
		if f.Level == book.LevelError {
			_, text, _ := strings.Cut(f.What, `"`)
			got[f.Cell], _, _ = strings.Cut(text, `"`)
		}
	}
	assert.Equal(t, want, got)
}
