package sheets_test

import (
	"bytes"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest/shop"
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
	whole := []byte(shop.Content(f, shop.Small(f, shop.Butt("J-1"))))
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
	plain := shop.Parts(f, shop.Small(f, shop.Butt("J-1"), shop.Row{"J-2", "Demo car one", "pie cut", 1, 3, 0.049, nil, 90, 10, nil}))
	out, _ := shop.Price(f, shop.Small(f, shop.Butt("J-1")))
	priced := shop.Parts(f, out)
	of := func(again bool) map[string]string {
		if again {
			return priced
		}
		return plain
	}
	for _, again := range []bool{false, true} {
		for i, name := range shop.PartNames(of(again)) {
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
		all, odd := shop.PartNames(of(again)), maps.Clone(of(again))
		odd[all[int(which)%len(all)]] = string(text)
		dryRun(t, shop.Packed(t, odd))
	})
}
