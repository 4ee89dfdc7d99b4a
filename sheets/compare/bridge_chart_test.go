package compare

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The chart says that its axis does not begin at 0 where it does not.
func TestChartSaysWhereItsAxisBegins(t *testing.T) {
	for _, c := range []struct {
		old, new float64
		says     bool
	}{{92_650, 101_050, true}, {100, 101_050, false}, {101_050, 0, false}} {
		r := &Report{
			Old: "old.xlsx", New: "new.xlsx", Currency: "$", Money: true,
			Total: Total{Key: "order_price", Heading: "Price of the order", Unit: "$", Old: c.old, New: c.new}, Gap: c.new - c.old,
			Changes: []Change{{Kind: ChangedJoint, Name: "Demo car J-1", Share: c.new - c.old, Running: c.new}},
		}
		data, err := bridgeBook(r)
		require.NoError(t, err)
		z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		require.NoError(t, err)
		chart, drawn := "", ""
		for _, f := range z.File {
			if strings.HasPrefix(f.Name, "xl/charts/chart") || strings.HasPrefix(f.Name, "xl/drawings/drawing") {
				in, err := f.Open()
				require.NoError(t, err)
				text, err := io.ReadAll(in)
				require.NoError(t, err)
				if strings.HasPrefix(f.Name, "xl/drawings/") {
					drawn += string(text)
					continue
				}
				chart += string(text)
			}
		}
		require.Contains(t, chart, "dark: more, light: less")
		assert.Equal(t, c.says, strings.Contains(chart, "the axis does not begin at 0"), "%v to %v", c.old, c.new)
		begins := !strings.Contains(chart, `<c:min val="0"`) && !strings.Contains(chart, `<min val="0"`)
		assert.Equal(t, c.says, begins, "what it says is what the axis does")
		assert.Contains(t, drawn, fmt.Sprintf(`<xdr:ext cx="%d"`, (36+24+24+24+15+15)*7*9525), "it ends where print does, with all its bars")
	}
}
