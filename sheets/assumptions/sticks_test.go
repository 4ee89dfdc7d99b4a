package assumptions_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/book"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// A size that is needed and whose stick has no length is asked for, with the cell
// that wants it; one that no joint has is not.
func TestStickWithoutLengthIsAskedFor(t *testing.T) {
	asked := func(found []book.Finding) (out []string) {
		for _, f := range found {
			if f.Rule == "stick unknown" {
				out = append(out, f.Cell)
			}
		}
		return out
	}
	first, rep := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	require.Empty(t, asked(rep.Findings))
	g := sheetstest.Read(t, first)
	row := shop.TableRow(t, g, "grade 2", 3.0, 0.049)
	other := shop.TableRow(t, g, "grade 2", 4.0, 0.049)
	stick := fmt.Sprint("F", row)
	out, rep := shop.Price(t, shop.TypeIn(t, first, shop.At("Assumptions", stick, nil), shop.At("Assumptions", fmt.Sprint("F", other), nil)))
	assert.Equal(t, []string{"Assumptions!" + stick}, asked(rep.Findings))
	g = sheetstest.Read(t, out)
	assert.Positive(t, shop.OnWorkings(t, g, "Tube needed of sizes without a stick length"))
	assert.True(t, rep.Complete, "it is asked for, and priced")
}
