package joints_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest/shop"
)

// typedList makes a sheet "Joints" of rows as typed, with merged ranges.
func typedList(t *testing.T, rows []shop.Row, merged ...[2]string) string {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	require.NoError(t, f.SetSheetName("Sheet1", "Joints"))
	for i, row := range rows {
		require.NoError(t, f.SetSheetRow("Joints", fmt.Sprint("A", i+1), &row))
	}
	for _, m := range merged {
		require.NoError(t, f.MergeCell("Joints", m[0], m[1]))
	}
	return shop.Saved(t, f)
}

// checked gives what check finds.
func checked(t *testing.T, in string) *sheets.Report {
	t.Helper()
	check, err := sheets.Check(t.Context(), in, "")
	require.NoError(t, err)
	return &check.Report
}

// A spreadsheet shows the value of a merged cell over all its rows; only the
// first of them holds it.
func TestMergedCellsInAListAreQuestioned(t *testing.T) {
	in := typedList(t, []shop.Row{
		{"Joint no", "Kind", "OD (in)", "Wall (in)", "Alloy"},
		{"J-1", "butt", 3, 0.049, "Ti-3Al-2.5V"},
		{"J-2", "butt", 3, 0.049, nil},
	}, [2]string{"E2", "E3"})
	assert.True(t, shop.HasFinding(checked(t, in), "E3", "merged"))
}

func TestListBesideAListIsNotPassedOver(t *testing.T) {
	in := typedList(t, []shop.Row{
		{"Joint no", "OD (in)", "Wall (in)", nil, "Joint no", "OD (in)", "Wall (in)"},
		{"J-1", 3, 0.049, nil, "J-2", 2.5, 0.049},
	})
	rep := checked(t, in)
	assert.True(t, rep.Read == 2 || !rep.Complete, "%d read, complete %v", rep.Read, rep.Complete)
}

func TestDifferentCellsAreNotToldAsOne(t *testing.T) {
	in := typedList(t, []shop.Row{
		{"Joint no", "Kind", "OD (in)", "Wall (in)"},
		{"J-1", "butt", nil, 0.049},
		{"J-2", "butt", 3, nil},
	})
	rules := map[string]string{}
	for _, f := range checked(t, in).Findings {
		if was, ok := rules[f.Rule]; ok {
			assert.Equal(t, was, f.What, "told as one")
		}
		rules[f.Rule] = f.What
	}
}

// A heading that is questioned is shown with the caption above it that makes
// it doubtful: without it nobody sees why "qty" is not taken here.
func TestQuestionedHeadingIsShownWhole(t *testing.T) {
	in := typedList(t, []shop.Row{
		{"Tube", "Tube", nil, "Weld", "Joint"},
		{"OD in", "Wall in", "Kind", "qty", "no"},
		{3, 0.049, "butt", 2, "J-1"},
	})
	assert.True(t, shop.HasFinding(checked(t, in), `"Weld qty"`))
}
