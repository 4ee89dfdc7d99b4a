package shop

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/offer"
	"seamtally/sheets/settling"
	"seamtally/sheets/sheetstest"
)

// ReportOf prices a workbook and gives the report alone.
func ReportOf(t *testing.T, in string) *sheets.Report {
	_, rep := Price(t, in)
	return rep
}

// PriceWith prices a workbook with sheets for the bid.
func PriceWith(t testing.TB, in string, with ...string) (string, *sheets.Report) {
	t.Helper()
	out := filepath.Join(t.TempDir(), "priced.xlsx")
	rep, err := sheets.Price(context.Background(), sheets.PriceOptions{In: in, Out: out, With: with, Date: "2026-11-25", Version: "test"})
	require.NoError(t, err)
	return out, rep
}

// Decrypted decrypts a workbook into a copy that other programs can read.
func Decrypted(t *testing.T, path, password string) string {
	raw, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "\xD0\xCF\x11\xE0", string(raw[:4]), "%s is not encrypted", path)
	data, err := excelize.Decrypt(raw, &excelize.Options{Password: password})
	require.NoError(t, err)
	return Put(t, data)
}

// Offered makes an offer of a priced workbook.
func Offered(t *testing.T, o offer.Options) *offer.Report {
	t.Helper()
	o.Date = "2026-11-25"
	if o.Out == "" {
		o.Out = filepath.Join(t.TempDir(), "offer.xlsx")
	}
	if !o.Draft {
		o.In = SettledWork(t, o.In)
	}
	r, err := offer.Make(t.Context(), o)
	require.NoError(t, err)
	return r
}

// SettledWork is the workbook priced, with no work beside the welds but what is filled
// in.
func SettledWork(t *testing.T, in string) string {
	t.Helper()
	none, err := settling.Parse("Other work=none")
	require.NoError(t, err)
	out := filepath.Join(t.TempDir(), "settled.xlsx")
	_, err = sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: out, Settle: []settling.Settling{none}})
	require.NoError(t, err)
	return out
}

// Price prices a workbook into a new file.
func Price(t testing.TB, in string) (string, *sheets.Report) {
	out := filepath.Join(t.TempDir(), "priced.xlsx")
	rep, err := sheets.Price(context.Background(), sheets.PriceOptions{In: in, Out: out})
	require.NoError(t, err)
	return out, rep
}

// Setting is a value typed for an assumption, by its key; unit "" leaves the unit.
type Setting struct {
	Key   string
	Value any
	Unit  string
}

// Set gives an assumption a value; the unit "" leaves the one that stands there.
func Set(key string, value any, unit string) Setting { return Setting{key, value, unit} }

// Assume types values on Assumptions of a priced workbook.
func Assume(t *testing.T, path string, sets ...Setting) string {
	t.Helper()
	g := sheetstest.Read(t, path)
	var cells []Cell
	for _, s := range sets {
		row := Assumption(t, g, s.Key)
		if s.Value != nil {
			cells = append(cells, Cell{"Assumptions", fmt.Sprint("C", row), s.Value})
		}
		if s.Unit != "" {
			cells = append(cells, Cell{"Assumptions", fmt.Sprint("D", row), s.Unit})
		}
	}
	return TypeIn(t, path, cells...)
}

// Refused prices a workbook that must not be priced, and gives the reason.
func Refused(t testing.TB, in string) string {
	t.Helper()
	out := filepath.Join(t.TempDir(), "none.xlsx")
	_, err := sheets.Price(context.Background(), sheets.PriceOptions{In: in, Out: out})
	require.Error(t, err)
	require.NoFileExists(t, out)
	return err.Error()
}

// Cleared takes out of a workbook what is ours, into a new file.
func Cleared(t testing.TB, in string) string {
	t.Helper()
	out := filepath.Join(t.TempDir(), "cleared.xlsx")
	_, err := sheets.Clear(context.Background(), sheets.ClearOptions{In: in, Out: out})
	require.NoError(t, err)
	return out
}

// PriceOrNot prices a workbook that may be refused.
func PriceOrNot(t testing.TB, in string) (string, error) {
	t.Helper()
	out := filepath.Join(t.TempDir(), "priced.xlsx")
	_, err := sheets.Price(context.Background(), sheets.PriceOptions{In: in, Out: out})
	return out, err
}

// SamePriced demands that two priced workbooks hold the same cells, but for the
// lines of the log, which keeps what was done and undone.
func SamePriced(t *testing.T, want, got string) {
	t.Helper()
	a, b := sheetstest.Read(t, want), sheetstest.Read(t, got)
	require.Len(t, b, len(a))
	for path, g := range map[string]sheetstest.Grid{want: a, got: b} {
		for _, e := range LogIn(t, path, g) {
			for col := 'A'; col <= 'M'; col++ {
				delete(g["Assumptions"], fmt.Sprintf("%c%d", col, e.Row))
			}
		}
		for ref, v := range g["Assumptions"] { // and but for their digest
			if row := ref[1:]; ref[0] == 'B' && v.Text == "log" && g["Assumptions"]["A"+row].Text == "As written" {
				delete(g["Assumptions"], "C"+row)
			}
		}
	}
	for sheet := range a {
		SameCells(t, a[sheet], b[sheet], sheet)
	}
}
