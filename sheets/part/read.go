package part

import (
	"bytes"
	"io"
)

// Col is a column definition (CT_Col): columns Min to Max, counting from 1.
type Col struct {
	Min, Max     int
	Width        float64 // in characters of the default font; 0 = none given
	Style        int     // cellXfs index; -1 = none given
	Hidden       bool
	OutlineLevel int // 0 to 7
	Collapsed    bool
}

// Row is one row as stored. The slice of cells is reused by the reader; the
// strings in it may be kept.
type Row struct {
	Num          int // counting from 1
	Hidden       bool
	OutlineLevel int
	Collapsed    bool
	Height       float64 // points; 0 = none given
	Cells        []Cell  // ascending by Col
}

// maxMerged bounds the merged cells of a sheet, as they are held in memory: one
// a row of the longest sheet.
const maxMerged = MaxRow

// SheetInfo is what a worksheet part says about itself besides its cells.
type SheetInfo struct {
	Strict           bool // the namespace of the strict form
	Dimension        string
	SummaryLeft      bool // outline buttons left of the detail columns
	SummaryAbove     bool // outline buttons above the detail rows
	FilterMode       bool // rows are hidden by a filter
	RightToLeft      bool
	DefaultColWidth  float64
	OutlineLevelRow  int
	OutlineLevelCol  int
	Cols             []Col
	Protected        bool
	AutoFilter       string // range, or ""
	MergedCells      []string
	DrawingRel       string   // relationship ids
	LegacyDrawingRel string   // of the comments' shapes
	TableRels        []string // of the tables on the sheet
	LastRow, LastCol int      // last row and column with a value or a formula; 0 = none
	Rows             int      // number of row elements
	Cells            int      // number of cell elements
}

// ReadSheet streams a worksheet part. Each row goes to each (nil = none
// wanted), in order; an error from it stops the reading and is returned. The
// part is read to its end and checked to be well-formed; nothing that was
// given out may be trusted when an error comes back. Errors of the part are a
// *SheetError.
func ReadSheet(r io.Reader, ss Strings, each func(*Row) error) (*SheetInfo, error) {
	p := newPull(r)
	strict, err := p.root("worksheet")
	if err != nil {
		return nil, err
	}
	rd := &sheetReader{p: p, rows: newRowScan(p, ss), each: each, info: &SheetInfo{Strict: strict}}
	for {
		if err := p.next(); err == io.EOF {
			return rd.info, nil
		} else if err != nil {
			return nil, err
		}
		if p.tok.kind == tokenStart && p.tok.main {
			if err := rd.element(); err != nil {
				return nil, err
			}
		}
	}
}

type sheetReader struct {
	p    *pull
	rows *rowScan
	each func(*Row) error
	info *SheetInfo
}

// element takes in a start tag anywhere in the sheet. Only rows read on to
// their end; of the rest the attributes are enough.
func (rd *sheetReader) element() error {
	depth := rd.p.depth()
	parent := rd.p.above(1).local
	switch {
	case depth == 3 && parent == "sheetData" && rd.p.tok.local == "row":
		return rd.row()
	case depth == 2 || depth == 3 && parentOf(rd.p.tok.local) == parent:
		return rd.setting(rd.p.tok.local, rd.p.raw())
	}
	return nil
}

// parentOf names the parent of the third-level elements that are looked at.
func parentOf(local string) string {
	switch local {
	case "outlinePr":
		return "sheetPr"
	case "sheetView":
		return "sheetViews"
	case "col":
		return "cols"
	case "mergeCell":
		return "mergeCells"
	case "tablePart":
		return "tableParts"
	}
	return ""
}

func (rd *sheetReader) row() error {
	if err := rd.rows.read(); err != nil {
		return err
	}
	row := &rd.rows.row
	rd.info.Rows++
	rd.info.Cells += len(row.Cells)
	for i := len(row.Cells) - 1; i >= 0; i-- {
		if c := &row.Cells[i]; c.Kind != Empty || c.HasFormula {
			rd.info.LastRow = row.Num
			rd.info.LastCol = max(rd.info.LastCol, c.Col)
			break
		}
	}
	if rd.each == nil {
		return nil
	}
	return rd.each(row)
}

func (rd *sheetReader) setting(local string, tag []byte) error {
	info := rd.info
	get := func(name string) string {
		text, _ := tagAttr(tag, name)
		return text
	}
	switch local {
	case "sheetPr":
		info.FilterMode = xmlBool(get("filterMode"), false)
	case "outlinePr":
		info.SummaryLeft = !xmlBool(get("summaryRight"), true)
		info.SummaryAbove = !xmlBool(get("summaryBelow"), true)
	case "dimension":
		info.Dimension = get("ref")
	case "sheetView":
		info.RightToLeft = info.RightToLeft || xmlBool(get("rightToLeft"), false)
	case "sheetFormatPr":
		info.DefaultColWidth = xmlFloat(get("defaultColWidth"))
		info.OutlineLevelRow = xmlInt(get("outlineLevelRow"), 0)
		info.OutlineLevelCol = xmlInt(get("outlineLevelCol"), 0)
	case "col":
		col, err := readCol(rd.p, tag)
		if err != nil {
			return err
		}
		if len(info.Cols) == MaxCol {
			return rd.p.errorf("more than %d column definitions; save the workbook anew from the spreadsheet program", MaxCol)
		}
		info.Cols = append(info.Cols, col)
	case "sheetProtection":
		info.Protected = xmlBool(get("sheet"), false)
	case "autoFilter":
		info.AutoFilter = get("ref")
	case "mergeCell":
		if len(info.MergedCells) == maxMerged {
			return rd.p.errorf("more than %d merged cells; save the workbook anew from the spreadsheet program", maxMerged)
		}
		info.MergedCells = append(info.MergedCells, get("ref"))
	case "drawing":
		info.DrawingRel = relAttr(tag)
	case "legacyDrawing":
		info.LegacyDrawingRel = relAttr(tag)
	case "tablePart":
		info.TableRels = append(info.TableRels, relAttr(tag))
	}
	return nil
}

// relAttr gives the relationship id of a tag. The prefix of the namespace is
// free; no element looked at has another id attribute.
func relAttr(tag []byte) string {
	for a := attrsOf(tag); a.next(); {
		if string(a.name) == "id" || bytes.HasSuffix(a.name, []byte(":id")) {
			return attrText(a.value)
		}
	}
	return ""
}

// readCol reads a col element's tag.
func readCol(p *pull, tag []byte) (Col, error) {
	col := Col{Style: -1}
	for a := attrsOf(tag); a.next(); {
		text := attrText(a.value)
		switch string(a.name) {
		case "min":
			col.Min = xmlInt(text, 0)
		case "max":
			col.Max = min(xmlInt(text, 0), MaxCol)
		case "width":
			col.Width = xmlFloat(text)
		case "style":
			col.Style = xmlInt(text, -1)
		case "hidden":
			col.Hidden = xmlBool(text, false)
		case "outlineLevel":
			col.OutlineLevel = xmlInt(text, 0)
		case "collapsed":
			col.Collapsed = xmlBool(text, false)
		}
	}
	if col.Min < 1 || col.Max < col.Min {
		return col, p.errorf("a column definition for columns %d to %d; the file is damaged, restore it from a copy", col.Min, col.Max)
	}
	return col, nil
}
