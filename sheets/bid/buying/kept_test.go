package buying_test

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/audit"
	"seamtally/sheets/logbook"
	"seamtally/sheets/page"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/progress"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// laidOut counts cells of the cut list that a run which writes nothing has laid out
// anew: these are in large letters, those that stand as they would be are not told to be.
type laidOut struct {
	sheets.Unwatched
	from     int
	anew, as *int
}

func (l laidOut) Looks() bool { return true }

func (l laidOut) Own(title string, r *worksheet.Row, _ *worksheet.Cell, c page.Cell, _ worksheet.NewCell) {
	switch {
	case title != "Buying" || r.Num < l.from || c.Kind != worksheet.Number && c.Kind != worksheet.Text:
	case c.Style.Large:
		*l.anew++
	default:
		*l.as++
	}
}

// cutAnew reports whether a run that only looks finds the cut list anew.
func cutAnew(t *testing.T, path string) bool {
	t.Helper()
	anew, as := 0, 0
	from := buyingRow(t, sheetstest.Read(t, path)["Buying"], "A", "For the saw: cut list, stick by stick", 1) + 1
	run, err := sheets.Watch(context.Background(), path, "", laidOut{from: from, anew: &anew, as: &as}, true)
	require.NoError(t, err)
	run.Close()
	require.Positive(t, anew+as)
	return anew > 0
}

// record is the cell of the record in which the cut list's plans are kept.
func record(t *testing.T, path string) string {
	t.Helper()
	first, last := shop.NamedRows(t, path, "seamtally.last")
	g := sheetstest.Read(t, path)["Assumptions"]
	for row := first; row <= last; row++ {
		if g[fmt.Sprint("A", row)].Text == logbook.StateKept && g[fmt.Sprint("B", row)].Text == logbook.KeptCutList {
			return fmt.Sprint("C", row)
		}
	}
	require.FailNow(t, "no record")
	return ""
}

// priced is Buying once the workbook is priced again, which finds the cut list anew or not.
func priced(t *testing.T, path string, anew bool) map[string]sheetstest.Value {
	t.Helper()
	found := false
	ctx := progress.With(context.Background(), func(what string, _, _ int) { found = found || what == "sizes of the cutting plan" })
	out := filepath.Join(t.TempDir(), "again.xlsx")
	_, err := sheets.Price(ctx, sheets.PriceOptions{In: path, Out: out, Date: "2026-11-25", Version: "test"})
	require.NoError(t, err)
	assert.Equal(t, anew, found)
	return sheetstest.Read(t, out)["Buying"]
}

// An audit takes the cut list for found where it stands as the last run has left it, and
// was found from the same; it tells the same as where it finds it anew.
func TestCutListIsFoundOnce(t *testing.T) {
	out, _ := shop.PriceWith(t, buyingOrder(t), "buying")
	g := sheetstest.Read(t, out)
	row := buyingRow(t, g["Buying"], "B", "blank of 5 pies", 1)
	stock := shop.TableRow(t, g, "grade 2", 3.0, 0.049)
	for why, c := range map[string]struct {
		cell shop.Cell
		anew bool
		told string // of the fault that an audit tells first
	}{
		"it is as it was":             {shop.At("Buying", fmt.Sprint("Z", row), "saw blade new"), false, ""},
		"a length is typed over":      {shop.At("Buying", fmt.Sprint("E", row), 12.5), true, audit.RuleKeptChanged},
		"a number is typed as a text": {shop.At("Buying", fmt.Sprint("F", row), "1"), true, audit.RuleKeptChanged},
		"a word is typed over":        {shop.At("Buying", fmt.Sprint("N", row), "J-9"), true, audit.RuleTouched},
		"the stick is another":        {shop.At("Assumptions", fmt.Sprint("F", stock), 8), true, ""},
		"a tube is another":           {shop.At("Joints", shop.ColTube+"2", 31), true, ""},
		"a joint is called otherwise": {shop.At("Joints", "A2", "J-7"), true, ""},
		"the record is typed over":    {shop.At("Assumptions", record(t, out), strings.Replace(g["Assumptions"][record(t, out)].Text, `"Sticks":2`, `"Sticks":3`, 1)), true, ""},
		"the record is gone":          {shop.At("Assumptions", record(t, out), nil), true, ""},
	} {
		path := shop.TypeIn(t, out, c.cell)
		assert.Equal(t, c.anew, cutAnew(t, path), why)
		rep, err := audit.Workbook(context.Background(), audit.Options{In: path})
		require.NoError(t, err)
		bare := shop.TypeIn(t, path, shop.At("Assumptions", record(t, out), nil))
		without, err := audit.Workbook(context.Background(), audit.Options{In: bare})
		require.NoError(t, err)
		assert.Equal(t, without.Cells, rep.Cells, why)
		assert.Equal(t, priced(t, bare, true), priced(t, path, c.anew), why)
		assert.Equal(t, fmt.Sprintf("%+v", without.Faults), fmt.Sprintf("%+v", rep.Faults), why) // an effect may be no number
		if c.told != "" && assert.NotEmpty(t, rep.Faults, why) {
			assert.Equal(t, c.told, rep.Faults[0].Rule, why)
			assert.True(t, strings.HasPrefix(rep.Faults[0].Cell, "Buying!"), why)
		}
	}
}
