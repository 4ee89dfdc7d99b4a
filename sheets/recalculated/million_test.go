package recalculated_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// TestCellsRecalculateEqual has LibreOffice work out random orders from nothing,
// in inches and in millimetres, with rates moved within their usual ranges and
// numbers typed over calculated cells, until so many cells are compared: as
// CELLS says, and in CI a few thousand. None may differ by more than one part
// in a thousand million, and whole cents by nothing.
//
//	CELLS=1000000 go test ./sheets/recalculated -run TestCellsRecalculateEqual -v -timeout 5h
func TestCellsRecalculateEqual(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	want, err := strconv.Atoi(os.Getenv("CELLS"))
	if err != nil {
		if want = 20_000; !shop.Thorough() {
			t.Skip("heavy: in CI, or with CELLS set to how many")
		}
	}
	total, cents, typedOver, moved := 0, 0, 0, 0
	for seed := uint64(1); total < want; {
		var books []string
		for range 8 {
			if total+len(books)*13_000 < want { // about as many as there are in one
				rng := rand.New(rand.NewPCG(seed, 77))
				path, over, set := shaken(t, rng, shop.Generated(t, 60+rng.IntN(60), int64(1000+seed), seed%2 == 0))
				books, typedOver, moved = append(books, path), typedOver+over, moved+set
				seed++
			}
		}
		for i, live := range sheetstest.RecalculateAll(t, books...) {
			stored := sheetstest.Read(t, books[i])
			total += sheetstest.Compare(t, stored, live, 1e-9)
			cents += sameCents(t, stored, live)
		}
		if t.Failed() {
			t.Fatalf("in one of %d books up to seed %d", len(books), seed-1)
		}
	}
	assert.NotZero(t, cents)
	assert.NotZero(t, typedOver)
	assert.NotZero(t, moved)
	t.Logf("%d cells are equal, %d of them whole cents on Summary; %d were typed over, %d assumptions moved", total, cents, typedOver, moved)
}

// shaken is an order priced with other rates, and again with numbers typed over
// some of its cells; it says how many of each.
func shaken(t *testing.T, rng *rand.Rand, in string) (path string, typedOver, moved int) {
	out, _ := shop.Price(t, in)
	g := sheetstest.Read(t, out)
	var cells []shop.Cell
	for ref, v := range g["Assumptions"] {
		col, row, err := excelize.SplitCellName(ref)
		require.NoError(t, err)
		low, high := g["Assumptions"][fmt.Sprint("G", row)], g["Assumptions"][fmt.Sprint("H", row)]
		if col != "C" || v.Kind != sheetstest.Number || v.Formula != "" || low.Kind != sheetstest.Number || high.Kind != sheetstest.Number || high.Num <= low.Num ||
			g["Assumptions"][fmt.Sprint("A", row)].Text == "default_sides" { // two sides are for fillets only
			continue
		}
		value := rounded(low.Num + rng.Float64()*(high.Num-low.Num))
		if v.Num == math.Trunc(v.Num) && low.Num == math.Trunc(low.Num) {
			value = math.Round(value) // it may be a count
		}
		cells = append(cells, shop.At("Assumptions", ref, value))
	}
	cells = some(rng, cells, 8)
	moved = len(cells)
	for sheet, list := range g {
		if sheet == "Assumptions" || sheet == "Workings" {
			continue
		}
		var figures []shop.Cell
		for ref, v := range list {
			if v.Formula != "" && v.Kind == sheetstest.Number && v.Num != math.Trunc(v.Num) {
				figures = append(figures, shop.At(sheet, ref, rounded(v.Num*(0.6+0.8*rng.Float64()))))
			}
		}
		figures = some(rng, figures, 6)
		typedOver += len(figures)
		cells = append(cells, figures...)
	}
	out, rep := shop.Price(t, shop.TypeIn(t, out, cells...))
	require.Greater(t, rep.Priced, 2*rep.LeftOut)
	return out, typedOver, moved
}

// some picks up to n of the cells: of equal ones for equal seeds.
func some(rng *rand.Rand, cells []shop.Cell, n int) []shop.Cell {
	slices.SortFunc(cells, func(a, b shop.Cell) int { return strings.Compare(a.Sheet+a.Ref, b.Sheet+b.Ref) })
	rng.Shuffle(len(cells), func(i, j int) { cells[i], cells[j] = cells[j], cells[i] })
	return cells[:min(n, len(cells))]
}

func rounded(x float64) float64 {
	out, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 4, 64), 64)
	if err != nil {
		return x
	}
	return out
}

// sameCents demands that what is whole cents on Summary is recalculated to
// just these, and counts them.
func sameCents(t *testing.T, stored, live sheetstest.Grid) (n int) {
	t.Helper()
	for ref, v := range stored["Workings"] {
		if v.Formula == "" || v.Kind != sheetstest.Number || v.Num == 0 || math.Round(v.Num*100)/100 != v.Num {
			continue
		}
		n++
		assert.Equal(t, v.Num, live["Workings"][ref].Num, "Workings!%s =%s", ref, v.Formula)
	}
	return n
}
