package sheets_test

import (
	"bytes"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/sheets"
)

// dryRun prices a file as far as it goes. Any error will do, as long as it says
// which file; a panic or a hang fails.
func dryRun(t *testing.T, data []byte) {
	in := filepath.Join(t.TempDir(), "order.xlsx")
	require.NoError(t, os.WriteFile(in, data, 0o600))
	if _, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, DryRun: true}); err != nil {
		require.True(t, strings.HasPrefix(err.Error(), in+": "), err.Error())
	}
}

// FuzzOpenAnything prices files that were once a workbook: bytes of the file
// itself changed, as a bad disk does.
func FuzzOpenAnything(f *testing.F) {
	whole := []byte(content(f, small(f, butt("J-1"))))
	f.Add(whole)
	f.Add(whole[:len(whole)/2])
	f.Add(whole[:len(whole)-22])
	f.Add([]byte("OD,Wall\n3,0.047\n"))
	f.Add([]byte("\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1"))
	f.Fuzz(dryRun)
}

// FuzzPartOfWorkbook prices workbooks with one part changed: damage that a
// checksum does not show, since the zip around it is whole. A run takes long
// enough that making its inputs smaller takes all the time: fuzz it with
// -fuzzminimizetime 1x.
func FuzzPartOfWorkbook(f *testing.F) {
	plain := parts(f, small(f, butt("J-1"), listRow{"J-2", "Demo car one", "pie cut", 1, 3, 0.049, nil, 90, 10, nil}))
	out, _ := price(f, small(f, butt("J-1")))
	priced := parts(f, out)
	of := func(again bool) map[string]string {
		if again {
			return priced
		}
		return plain
	}
	for _, again := range []bool{false, true} {
		for i, name := range names(of(again)) {
			text := of(again)[name]
			if !strings.HasSuffix(name, ".xml") && !strings.HasSuffix(name, ".rels") || len(text) > 20_000 {
				continue
			}
			f.Add(again, uint8(i), []byte(text))
			f.Add(again, uint8(i), []byte(text[:len(text)/2]))
			f.Add(again, uint8(i), bytes.ReplaceAll([]byte(text), []byte(`="1"`), []byte(`="-99999999999"`)))
		}
	}
	f.Fuzz(func(t *testing.T, again bool, which uint8, text []byte) {
		all, odd := names(of(again)), maps.Clone(of(again))
		odd[all[int(which)%len(all)]] = string(text)
		dryRun(t, packed(t, odd))
	})
}

// names are the parts in order.
func names(parts map[string]string) []string { return slices.Sorted(maps.Keys(parts)) }
