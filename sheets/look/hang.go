package look

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"

	"github.com/xuri/excelize/v2"
)

// Written gives a workbook of the library's as a file. Two that are made alike are equal.
//
// A chart is hung at its upper left cell, as wide and as high as it was asked for. The
// library gives its other corner instead, as an offset far beyond the first cell, which
// spreadsheet programs cut to the cell (from memory); counted out in columns and rows it
// would be as large as they are in another program's letters.
func Written(f *excelize.File) ([]byte, error) {
	InOrder(f)
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		return nil, err
	}
	drawn := false
	var err error
	f.Drawings.Range(func(key, _ any) bool {
		name := key.(string)
		stored, ok := f.Pkg.Load(name)
		if !ok {
			err = fmt.Errorf("the drawing is not in %s", name)
			return false
		}
		f.Drawings.Delete(key) // or it is written again as it was
		f.Pkg.Store(name, hung(stored.([]byte)))
		drawn = true
		return true
	})
	if err != nil || !drawn {
		return out.Bytes(), err
	}
	out.Reset()
	err = f.Write(&out)
	return out.Bytes(), err
}

// hung hangs what has both its corners in one cell by the first.
func hung(drawing []byte) []byte {
	anchor := regexp.MustCompile(`(?s)<xdr:twoCellAnchor editAs="oneCell">(<xdr:from><xdr:col>(\d+)</xdr:col>.*?<xdr:row>(\d+)</xdr:row>.*?</xdr:from>)` +
		`<xdr:to><xdr:col>(\d+)</xdr:col><xdr:colOff>(\d+)</xdr:colOff><xdr:row>(\d+)</xdr:row><xdr:rowOff>(\d+)</xdr:rowOff></xdr:to>(.*?)</xdr:twoCellAnchor>`)
	return anchor.ReplaceAllFunc(drawing, func(all []byte) []byte {
		part := anchor.FindSubmatch(all)
		if !bytes.Equal(part[2], part[4]) || !bytes.Equal(part[3], part[6]) {
			return all
		}
		return []byte(strings.Join([]string{"<xdr:oneCellAnchor>", string(part[1]),
			`<xdr:ext cx="`, string(part[5]), `" cy="`, string(part[7]), `"/>`, string(part[8]), "</xdr:oneCellAnchor>"}, ""))
	})
}
