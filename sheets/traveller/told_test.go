package traveller_test

import (
	"fmt"
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/sheets/traveller"
	"seamtally/templates"
)

// geometry are the units of figures that do not tell how long, with how much or for how
// much a joint is welded.
func geometry() []string {
	return []string{"in", "mm", "°", "each", "welds", "tacks", "fills", "1", ""}
}

// odd are numbers for the shipped set-ups that stand nowhere else in a file: from their
// travel to their mount, in the order of the table (templates/tables.txt).
func odd() []float64 {
	return []float64{3.2173, 35.713, 21.919, 20.373, 12.617, 1.3717, 15.913, 4.4719, 2.7193}
}

// oddly is a priced workbook whose set-ups have those numbers.
func oddly(t *testing.T, in string) string {
	t.Helper()
	priced, _ := shop.Price(t, in)
	g := sheetstest.Read(t, priced)
	var cells []shop.Cell
	for i, name := range []string{"cup, stop and start", "trailing shield, on rolls", "trailing shield, by hand"} {
		row := shop.TableRow(t, g, name)
		for k, x := range odd() {
			cells = append(cells, shop.At("Assumptions", fmt.Sprintf("%c%d", 'F'+k, row), x+float64(i)))
		}
	}
	return shop.TypeIn(t, priced, cells...)
}

// Nothing of the estimate is in any part of the file: no travel, flow, time, stop,
// weight or money, of the joints, the cars, the order, the set-ups or the single
// assumptions, however it is spelled; no word for one; and no current. The cautions
// and the digest are passed over, and numbers that are sizes too are counted.
func TestTravellerTellsNothing(t *testing.T) {
	shop.Heavy(t)
	books := map[string]func(t *testing.T) string{
		"demo":        func(t *testing.T) string { return shop.Demo("order.xlsx") },
		"demo metric": func(t *testing.T) string { return shop.Demo("order-metric.xlsx") },
	}
	for seed := range int64(4) {
		books[fmt.Sprint("generated ", seed)] = func(t *testing.T) string { return shop.Generated(t, 60, seed, seed%2 == 1) }
	}
	for name, in := range books {
		t.Run(name, func(t *testing.T) {
			out := oddly(t, in(t))
			again := filepath.Join(t.TempDir(), "again.xlsx")
			rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: out, Out: again, Lines: true})
			require.NoError(t, err)
			r := made(t, traveller.Options{In: again, Draft: true, Notes: true, From: 1, To: 2})

			all, _ := shop.Everything(t, r.Output)
			m, err := compute.Load(templates.FS, rep.System)
			require.NoError(t, err)
			all = strings.ReplaceAll(strings.ReplaceAll(all, r.Digest, ""), r.Digest[:16], "")
			for _, caution := range m.Cautions {
				require.Contains(t, all, caution)
				all = strings.ReplaceAll(all, caution, "")
			}
			all = regexp.MustCompile(`http://[^"]*`).ReplaceAllString(all, "") // names of schemas have years in them
			numbers := shop.NumbersIn(all)
			_, there := shop.Everything(t, again)
			sizes := map[string]bool{}
			for _, l := range rep.Lines {
				for _, key := range []string{"od", "wall", "run_od", "run_wall", "branch_angle", "bend", "clr", "leg", "weld_length", "tube", "half_turn", "turn", "welds"} {
					sizes[strconv.FormatFloat(math.Round(l.Figures[key]*1e4)/1e4, 'f', -1, 64)] = true
				}
			}
			searched, known, passed := 0, 0, 0
			look := func(of, key string, x float64) {
				for _, s := range shop.Spelled(x) {
					switch {
					case sizes[s]:
						passed++
						continue
					case there[s]:
						known++
					}
					searched++
					assert.False(t, numbers[s], "%s of %s, %v, stands in the travellers as %s", key, of, x, s)
				}
			}
			figures := func(of string, f model.Figures) {
				for key, x := range f {
					if !slices.Contains(geometry(), rep.Units[key]) || key == "bead_limit" {
						look(of, key, x)
					}
				}
			}
			for _, l := range rep.Lines {
				figures(l.Mark, l.Figures)
			}
			for _, c := range rep.Cars {
				figures(c.Car, c.Figures)
			}
			figures("the order", rep.Order)
			for i := range 3 {
				for _, x := range odd() {
					look("a set-up", "a setting", x+float64(i))
				}
			}
			t.Logf("%d spellings searched for, %d are those of sizes too", searched, passed)
			require.Greater(t, searched, 500)
			require.Greater(t, known, 200, "the same search in the priced workbook finds them")
			require.Less(t, passed, searched/200)

			for _, word := range []string{"travel", "flow", "pre-flow", "post-flow", "cfh", "l/min", "ppm", "amperage", "amps", "price", "cost", "estimated", "stops", "starts", "hours"} {
				at := regexp.MustCompile(`(?i)(?:^|[^\pL])` + word + `(?:[^\pL]|$)`).FindString(all)
				assert.Empty(t, at, word)
			}
			said := ""
			for _, part := range shop.Parts(t, r.Output) {
				said += shop.CharactersOf(t, part)
			}
			for _, caution := range append(m.Cautions, "Ti-3Al-2.5V", "Ti-6Al-4V") {
				said = strings.ReplaceAll(said, caution, "")
			}
			assert.Empty(t, regexp.MustCompile(`\d ?(?:A|V|min|s|h|l|\$|€|%)(?:[^\pL\d-]|$)`).FindString(said), "a number with the unit of a setting")
			for _, q := range m.Singles.Quantities {
				at := regexp.MustCompile(`(?:^|[^\pL\d_])` + regexp.QuoteMeta(q.Key) + `(?:[^\pL\d_]|$)`).FindString(said)
				assert.Empty(t, at, "the assumption %s", q.Key)
			}
		})
	}
}
