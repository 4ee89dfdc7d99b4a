package formula_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/compute/formula"
)

// The referee of this file is LibreOffice, a spreadsheet made elsewhere: what
// is worked out here must be what it gives for the formula as printed.

// recalculated has LibreOffice work out the formulas of column A; inputs go
// into row 1 from column C on.
func recalculated(t *testing.T, formulas []string, inputs []float64) []string {
	t.Helper()
	office, err := exec.LookPath("soffice")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("LibreOffice is not installed, and CI is set")
		}
		t.Skip("LibreOffice is not installed")
	}
	dir := t.TempDir()
	book := excelize.NewFile()
	for i, text := range formulas {
		require.NoError(t, book.SetCellFormula("Sheet1", fmt.Sprintf("A%d", i+1), text))
	}
	for i, v := range inputs {
		require.NoError(t, book.SetCellValue("Sheet1", inputCell(t, i), v))
	}
	asked := filepath.Join(dir, "asked.xlsx")
	require.NoError(t, book.SaveAs(asked))
	require.NoError(t, book.Close())

	cmd := exec.Command(office, "-env:UserInstallation=file://"+filepath.Join(dir, "profile"),
		"--headless", "--convert-to", "xlsx", "--outdir", filepath.Join(dir, "answered"), asked)
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, string(out))

	answer, err := excelize.OpenFile(filepath.Join(dir, "answered", "asked.xlsx"), excelize.Options{RawCellValue: true})
	require.NoError(t, err, string(out))
	defer answer.Close()
	values := make([]string, len(formulas))
	for i := range formulas {
		values[i], err = answer.GetCellValue(answer.GetSheetName(0), fmt.Sprintf("A%d", i+1))
		require.NoError(t, err)
	}
	return values
}

func inputCell(t *testing.T, i int) string {
	t.Helper()
	cell, err := excelize.CoordinatesToCellName(i+3, 1)
	require.NoError(t, err)
	return cell
}

// agree compares a number with what the cell shows; an error is any #text.
func agree(got float64, cell string, within float64) bool {
	if strings.HasPrefix(cell, "#") {
		return math.IsNaN(got)
	}
	want, err := strconv.ParseFloat(cell, 64)
	return err == nil && math.Abs(got-want) <= within*math.Max(1, math.Abs(want))
}

func TestConstantsAsInLibreOffice(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	var texts []string
	for text := range precedenceCases() {
		texts = append(texts, text)
	}
	sort.Strings(texts)
	texts = append(texts, "IF(0.3-0.2-0.1=0,1,0)", "IF(-0.3+0.2+0.1=0,1,0)", "IF(1-0.9-0.1=0,1,0)", "IF(0.1+0.2=0.3,1,0)", "IF(0.1+0.2>0.3,1,0)", "1/0", "LN(0)", "SQRT(-1)", "0^-1",
		"IF(1/0>1,2,3)", "IF(OR(1<2,1/0>1),2,3)", "IF(AND(1>2,1/0>1),2,3)", "IF(1=1,2,1/0)", "MAX(1,1/0)")
	for range 400 {
		texts = append(texts, expression(r, 4))
	}
	cells := make([]string, len(texts))
	for i, text := range texts {
		cells[i] = printed(t, checked(t, text, "", having(t, "")))
	}
	answers := recalculated(t, cells, nil)
	errors := 0
	for i, text := range texts {
		got := constant(t, text)
		assert.True(t, agree(got, answers[i], 1e-12), "%s (in the cell %s): here %v, there %s", text, cells[i], got, answers[i])
		if math.IsNaN(got) {
			errors++
		}
	}
	assert.Less(t, errors, len(texts)/4, "too many of the expressions are errors to show anything")
}

// expression writes a random formula of constants. It stays clear of powers
// on which spreadsheets disagree among themselves (0^0, roots of negatives).
func expression(r *rand.Rand, depth int) string {
	if depth == 0 || r.IntN(8) == 0 {
		return [...]string{strconv.Itoa(r.IntN(100)), strconv.FormatFloat(float64(r.IntN(10000))/1000, 'f', -1, 64), ".5", "2E-1", "PI()"}[r.IntN(5)]
	}
	x := func() string { return expression(r, depth-1) }
	switch r.IntN(16) {
	case 0, 1, 2, 3, 4, 5:
		return x() + string("+-*/"[r.IntN(4)]) + x()
	case 6:
		return "-" + x()
	case 7:
		return "(" + x() + ")^" + [...]string{"2", "3", "-1", "-2"}[r.IntN(4)]
	case 8:
		return "-" + strconv.Itoa(1+r.IntN(9)) + "^" + strconv.Itoa(r.IntN(4)) + "^" + strconv.Itoa(r.IntN(3))
	case 9:
		return "(" + x() + ")" + [...]string{"%", "*-1", "/+2"}[r.IntN(3)]
	case 10:
		return "IF(" + x() + [...]string{"=", "<>", "<", "<=", ">", ">="}[r.IntN(6)] + x() + "," + x() + "," + x() + ")"
	case 11:
		return [...]string{"MIN(", "MAX("}[r.IntN(2)] + x() + "," + x() + ")"
	case 12:
		return [...]string{"ROUND(", "ROUNDUP(", "ROUNDDOWN("}[r.IntN(3)] + x() + "," + strconv.Itoa(r.IntN(6)-1) + ")"
	case 13:
		return [...]string{"whole_up(", "whole_down(", "ABS(", "SIN(", "COS("}[r.IntN(5)] + x() + ")"
	case 14:
		return [...]string{"SQRT(ABS(", "LN(1+ABS("}[r.IntN(2)] + x() + "))"
	}
	return "(" + x() + ")"
}

// True ties, near ties, and sums that make them, in the three roundings.
func TestRoundingAsInLibreOffice(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	var texts []string
	for range 900 {
		places := r.IntN(4)
		half := strconv.FormatFloat(float64(2*r.IntN(1_000_000)+1)/2/math.Pow(10, float64(places)), 'f', places+1, 64)
		x := [...]string{half, "-" + half, half + "/7*7", half + "*1.1/1.1", half + "+0.1-0.1", half + "*(1+1E-15)", half + "*(1-1E-14)"}[r.IntN(7)]
		texts = append(texts, fmt.Sprintf("%s(%s,%d)", [...]string{"ROUND", "ROUNDUP", "ROUNDDOWN"}[r.IntN(3)], x, places))
	}
	answers := recalculated(t, texts, nil)
	for i, text := range texts {
		got := constant(t, text)
		assert.True(t, agree(got, answers[i], 1e-12), "%s: here %v, there %s", text, got, answers[i])
	}
}

func TestTextsAsInLibreOffice(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 16))
	texts := []string{`"a""b"&1`, `"x"&1/3`, `"x"&-12`, `"x"&(0.3-0.2-0.1)`, `"x"&1E14`, `"x"&2/3*100`, `"x"&0.1+0.2`, `IF("Ti"="TI","same","other")`}
	for range 100 {
		v := strconv.FormatFloat(float64(r.IntN(10_000_000))/math.Pow(10, float64(r.IntN(7))), 'f', -1, 64)
		texts = append(texts, `"grade 2|"&`+v+[...]string{"", "*1000", "/3", "-5"}[r.IntN(4)])
	}
	answers := recalculated(t, texts, nil)
	for i, text := range texts {
		code, err := checked(t, text, "text", having(t, "")).Compile()
		require.NoError(t, err)
		assert.Equal(t, answers[i], code.Text(nil), text)
	}
}

// Formulas over quantities, with the factors that their units call for.
func TestFactorsAsInLibreOffice(t *testing.T) {
	declared := "od in; run_od mm; arc_time min; pause s; flow ft³/h; litre_flow L/min; rate $/h; theta °; mass lb; per_kg $/kg; n"
	q := having(t, declared)
	inputs := []float64{3, 63.5, 3.17, 16, 35, 16.5, 95, 11.25, 0.42, 61.5, 22}
	row := &formula.Frame{Num: inputs}
	address := map[string]string{}
	for i, one := range strings.Split(declared, ";") {
		name, _, _ := strings.Cut(strings.TrimSpace(one), " ")
		address[name] = inputCell(t, i)
	}
	figures := [][2]string{
		{"flow*arc_time", "ft³"}, {"litre_flow*arc_time", "L"}, {"flow*arc_time", "L"}, {"litre_flow*arc_time", "ft³"},
		{"PI()/4*od^2*run_od*n/flow", "min"}, {"arc_time+(pause+n*pause)", "min"}, {"arc_time-pause", "h"}, {"-(pause+arc_time)", "s"},
		{"MIN(od,run_od)", "mm"}, {"MAX(run_od,od)", "in"}, {"IF(run_od>od,pause,arc_time)", "min"}, {"IF(od>run_od,pause,arc_time)", "min"},
		{"ROUND(arc_time*rate,2)", "$"}, {"ROUNDUP(mass*per_kg,2)", "$"}, {"whole_up(PI()*od/run_od*n)", ""}, {"od/2*TAN(theta)", "in"},
		{"(3*(1+1/COS(theta))-SQRT((3+1/COS(theta))*(1+3/COS(theta))))/2", ""}, {"SQRT(od*run_od)", "mm"}, {"(od/run_od)^2", ""},
		{"(od/run_od)^n", ""}, {"n^(LN(85%)/LN(2))", ""}, {"amount(od+run_od,\"mm\")/2", ""}, {"od- -run_od", "in"}, {"-od^2", "mm²"},
	}
	var cells []string
	var values []float64
	for _, c := range figures {
		f := checked(t, c[0], c[1], q)
		cell, err := f.Print(func(_, key string) (string, error) { return address[key], nil })
		require.NoError(t, err)
		cells = append(cells, cell)
		values = append(values, number(t, f, row))
	}
	answers := recalculated(t, cells, inputs)
	for i, c := range figures {
		assert.True(t, agree(values[i], answers[i], 1e-12), "%s (in the cell %s): here %v, there %s", c[0], cells[i], values[i], answers[i])
	}
}
