package assumptions

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/templates"
)

// What an assumption is fits its column on one line, and what is said of a table the page
// that it is printed on: there are cells right of both, or the edge of the paper.
func TestWordsFitTheirRoom(t *testing.T) {
	ink := look.New("Calibri", 11)
	fits := func(words string, wide float64) bool {
		return ink.RowHeight(look.Words, words, wide) <= page.StandardHeight+1
	}
	across := 0.0
	for _, w := range assumeWidths()[tableCol-1 : book.AssumeBasis] {
		across += w
	}
	for _, system := range []model.System{model.US, model.Metric} {
		m, err := compute.Load(templates.FS, system)
		require.NoError(t, err)
		for _, q := range m.Singles.Quantities {
			assert.True(t, fits(q.Heading, lettersTo*assumeWidths()[book.AssumeWhat-1]+indent), "%s, %d letters: %s", q.Key, len(q.Heading), q.Heading)
		}
		for _, table := range m.Tables {
			assert.True(t, fits(table.About, smaller*across), "%s, %d letters", table.Name, len(table.About))
		}
	}
}

// smaller is how many letters of a note go where one letter of running words does, about
// (seen on a page of LibreOffice's, no source).
const smaller = 1.5
