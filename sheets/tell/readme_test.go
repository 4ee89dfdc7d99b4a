package tell

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/sheets"
)

// The table that README.md shows is what the demo order comes to.
func TestReadmeShowsTheDemoOrder(t *testing.T) {
	root := filepath.Join("..", "..")
	text, err := os.ReadFile(filepath.Join(root, "README.md"))
	require.NoError(t, err)
	r, err := sheets.Price(t.Context(), sheets.PriceOptions{
		In: filepath.Join(root, "testdata", "order.xlsx"), Out: filepath.Join(t.TempDir(), "priced.xlsx"), DryRun: true,
	})
	require.NoError(t, err)
	var table bytes.Buffer
	require.NoError(t, Table(&table, r))
	if !strings.Contains(string(text), "<!-- price -->\n```\n"+table.String()+"```\n") {
		t.Errorf("README.md shows other figures of the demo order; put there what this prints: go run . price --force testdata/order.xlsx\n%s", &table)
	}
}
