package worksheet

import (
	"bytes"
	"io"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
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
const maxMerged = grid.MaxRow

// Info is what a worksheet part says about itself besides its cells.
type Info struct {
	Strict           bool // the namespace of the strict form
	Dimension        string
	SummaryLeft      bool // outline buttons left of the detail columns
	SummaryAbove     bool // outline buttons above the detail rows
	FilterMode       bool // rows are hidden by a filter
	RightToLeft      bool
	Zoom             int // per cent, 0 = 100
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
	OddRows          []OddRow // those out of sight, in groups or beside the button of one
	Filled           []bool   // by column less 1: any cell of it has a value or a formula
	Cells            int      // number of cell elements
	Formats          Formats  // of cells, rows and columns
	Pages            Pages
	Conditional      []Conditional
}

// OddRow is a row that is hidden, Flat, in a group, or beside a group's button.
type OddRow struct {
	Num               int
	Hidden, Collapsed bool
	Flat              bool
	Filled            bool // any cell of it has a value or a formula
	OutlineLevel      int
}

// flat is a height of a row, in points, in which nothing can be read: this project's
// choice.
const flat = 2

// Pages is how a sheet is set up for print.
type Pages struct {
	Setup       string   // the tag pageSetup, or ""
	Fits        bool     // to a number of pages
	Foot        bool     // there is a header or a footer
	Words       []string // of headers and footers, with the codes for their look
	RowBreaks   bool
	ColBreaks   bool
	Margins     bool    // they are given
	Left, Right float64 // margins in inches
}

// Formats has which numbers of cell formats stand on a sheet, be they in the
// table of formats or not.
type Formats []bool

// maxFormat is the highest number of a cell format that a workbook may have (the
// specifications and limits of a widely used spreadsheet program; from memory).
const maxFormat = 65489

func (f *Formats) note(style int) {
	if style < 0 || style > maxFormat || style < len(*f) && (*f)[style] {
		return
	}
	if style >= len(*f) {
		*f = append(*f, make([]bool, style+1-len(*f))...)
	}
	(*f)[style] = true
}

// Add takes the numbers of another sheet in.
func (f *Formats) Add(of Formats) {
	for style, stands := range of {
		if stands {
			f.note(style)
		}
	}
}

// Read streams a worksheet part. Each row goes to each (nil = none
// wanted), in order; an error from it stops the reading and is returned. The
// part is read to its end and checked to be well-formed; nothing that was
// given out may be trusted when an error comes back. Errors of the part are a
// *SheetError.
func Read(r io.Reader, ss Strings, each func(*Row) error) (info *Info, err error) {
	if each == nil {
		return read(r, ss, nil)
	}
	err = ahead(func(each func(*Row) error) (err error) {
		info, err = read(r, ss, each)
		return err
	}, each)
	if err != nil {
		return nil, err
	}
	return info, nil
}

func read(r io.Reader, ss Strings, each func(*Row) error) (*Info, error) {
	p := markup.NewReader(r)
	strict, err := p.Root("worksheet")
	if err != nil {
		return nil, err
	}
	rd := &sheetReader{p: p, rows: newRowScan(p, ss), each: each, info: &Info{Strict: strict}}
	for {
		if err := p.Next(); err == io.EOF {
			rd.info.Formats.Add(rd.rows.formats)
			return rd.info, nil
		} else if err != nil {
			return nil, err
		}
		if p.Tok.Kind == markup.Start && p.Tok.Main {
			if err := rd.element(); err != nil {
				return nil, err
			}
		}
	}
}

type sheetReader struct {
	p    *markup.Reader
	rows *rowScan
	each func(*Row) error
	info *Info
}

// element takes in a start tag anywhere in the sheet. Only rows read on to
// their end; of the rest the attributes are enough.
func (rd *sheetReader) element() error {
	depth := rd.p.Depth()
	parent := rd.p.Above(1).Local
	switch {
	case depth == 3 && parent == "sheetData" && rd.p.Tok.Local == "row":
		return rd.row()
	case depth == 3 && parent == "headerFooter":
		return rd.pageWords()
	case depth == 2 && rd.p.Tok.Local == "conditionalFormatting":
		return rd.conditional()
	case depth == 2 || depth == 3 && parentOf(rd.p.Tok.Local) == parent:
		return rd.setting(rd.p.Tok.Local, rd.p.Raw())
	}
	return nil
}

// parentOf names the parent of the third-level elements that are looked at.
func parentOf(local string) string {
	switch local {
	case "outlinePr", "pageSetUpPr":
		return "sheetPr"
	case "sheetView":
		return "sheetViews"
	case "col":
		return "cols"
	case "mergeCell":
		return "mergeCells"
	case "tablePart":
		return "tableParts"
	case "brk":
		return "colBreaks"
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
	filled := false
	for i := len(row.Cells) - 1; i >= 0; i-- {
		if c := &row.Cells[i]; c.Kind != Empty || c.HasFormula {
			if !filled {
				filled = true
				rd.info.LastRow = row.Num
				rd.info.LastCol = max(rd.info.LastCol, c.Col)
			}
			rd.fills(c.Col)
		}
	}
	odd := OddRow{row.Num, row.Hidden, row.Collapsed, row.Height > 0 && row.Height < flat, filled, row.OutlineLevel}
	if odd.Hidden || odd.Collapsed || odd.Flat || odd.OutlineLevel > 0 {
		rd.info.OddRows = append(rd.info.OddRows, odd)
	}
	if rd.each == nil {
		return nil
	}
	return rd.each(row)
}

// fills notes that a column has something in it.
func (rd *sheetReader) fills(col int) {
	if n := col - len(rd.info.Filled); n > 0 {
		rd.info.Filled = append(rd.info.Filled, make([]bool, n)...)
	}
	rd.info.Filled[col-1] = true
}

// mostPageWords is the longest header or footer that is kept, in bytes; a spreadsheet
// takes 255 characters. There are six of them at the most.
const mostPageWords, mostPages = 2000, 6

func (rd *sheetReader) pageWords() error {
	text, err := rd.p.Text(nil)
	if err == nil && len(text) > 0 && len(text) <= mostPageWords && len(rd.info.Pages.Words) < mostPages {
		rd.info.Pages.Words = append(rd.info.Pages.Words, markup.DecodeEscapes(string(text)))
	}
	return err
}

func (rd *sheetReader) setting(local string, tag []byte) error {
	info := rd.info
	get := func(name string) string {
		text, _ := markup.TagAttr(tag, name)
		return text
	}
	switch local {
	case "sheetPr":
		info.FilterMode = markup.Bool(get("filterMode"), false)
	case "outlinePr":
		info.SummaryLeft = !markup.Bool(get("summaryRight"), true)
		info.SummaryAbove = !markup.Bool(get("summaryBelow"), true)
	case "pageSetUpPr":
		info.Pages.Fits = markup.Bool(get("fitToPage"), false)
	case "pageMargins":
		info.Pages.Margins, info.Pages.Left, info.Pages.Right = true, markup.Float(get("left")), markup.Float(get("right"))
	case "pageSetup":
		info.Pages.Setup = string(tag)
	case "headerFooter":
		info.Pages.Foot = true
	case "rowBreaks":
		info.Pages.RowBreaks = true
	case "brk":
		info.Pages.ColBreaks = true
	case "dimension":
		info.Dimension = get("ref")
	case "sheetView":
		info.RightToLeft = info.RightToLeft || markup.Bool(get("rightToLeft"), false)
		info.Zoom = markup.Int(get("zoomScale"), info.Zoom)
	case "sheetFormatPr":
		info.DefaultColWidth = markup.Float(get("defaultColWidth"))
		info.OutlineLevelRow = markup.Int(get("outlineLevelRow"), 0)
		info.OutlineLevelCol = markup.Int(get("outlineLevelCol"), 0)
	case "col":
		col, err := readCol(rd.p, tag)
		if err != nil {
			return err
		}
		if len(info.Cols) == grid.MaxCol {
			return rd.p.Errorf("more than %d column definitions; save the workbook anew from the spreadsheet program", grid.MaxCol)
		}
		info.Cols = append(info.Cols, col)
		info.Formats.note(col.Style)
	case "sheetProtection":
		info.Protected = markup.Bool(get("sheet"), false)
	case "autoFilter":
		info.AutoFilter = get("ref")
	case "mergeCell":
		if len(info.MergedCells) == maxMerged {
			return rd.p.Errorf("more than %d merged cells; save the workbook anew from the spreadsheet program", maxMerged)
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
	for a := markup.AttrsOf(tag); a.Next(); {
		if string(a.Name) == "id" || bytes.HasSuffix(a.Name, []byte(":id")) {
			return markup.AttrText(a.Value)
		}
	}
	return ""
}

// readCol reads a col element's tag.
func readCol(p *markup.Reader, tag []byte) (Col, error) {
	col := Col{Style: -1}
	for a := markup.AttrsOf(tag); a.Next(); {
		text := markup.AttrText(a.Value)
		switch string(a.Name) {
		case "min":
			col.Min = markup.Int(text, 0)
		case "max":
			col.Max = min(markup.Int(text, 0), grid.MaxCol)
		case "width":
			col.Width = markup.Float(text)
			col.Hidden = col.Hidden || col.Width <= 0 // the same to whoever looks at it
		case "style":
			col.Style = markup.Int(text, -1)
		case "hidden":
			col.Hidden = col.Hidden || markup.Bool(text, false)
		case "outlineLevel":
			col.OutlineLevel = markup.Int(text, 0)
		case "collapsed":
			col.Collapsed = markup.Bool(text, false)
		}
	}
	if col.Min < 1 || col.Max < col.Min {
		return col, p.Errorf("a column definition for columns %d to %d; the file is damaged, restore it from a copy", col.Min, col.Max)
	}
	return col, nil
}
