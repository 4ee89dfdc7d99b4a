package audit_test

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/audit/marked"
	"seamtally/sheets/sheetstest/shop"
)

// The sheet of an audit is for the paper that the workbook's other sheets are for: Letter
// (1) in US units, A4 (9) in metric ones, as ECMA-376 part 1, 18.3.1.63 counts them.
func TestPaperOfAnAudit(t *testing.T) {
	for metric, size := range map[bool]int{false: 1, true: 9} {
		priced, _ := shop.Price(t, shop.Starter(t, metric))
		out := filepath.Join(t.TempDir(), "marked.xlsx")
		require.NoError(t, marked.Copy(audited(t, priced, ""), out, "", false))
		f, err := excelize.OpenFile(out)
		require.NoError(t, err)
		for _, title := range []string{"Audit", "Summary"} {
			layout, err := f.GetPageLayout(title)
			require.NoError(t, err)
			require.NotNil(t, layout.Size, title)
			assert.Equal(t, size, *layout.Size, title)
		}
		require.NoError(t, f.Close())
	}
}
