package look

// Sheet is the shell of one sheet: all but its cells. Cells and ranges are
// written like "A1" and "B2:D9".
type Sheet struct {
	Title       string
	Widths      []float64 // of the columns from A on, in characters; 0 = standard
	FreezeRow   int       // rows at the top that stay in view
	FreezeCol   int       // columns at the left that stay in view
	Validations []Validation
	Merges      []string // blocks that are one cell
	Flags       []string // ranges where a bad word is shown boldly, see [BadWords]
	Charts      []Chart
	Print       Print

	// SummaryAbove puts the buttons of folded rows above them, not below.
	SummaryAbove bool
	ShowGrid     bool
	Zoom         int // per cent, 0 = 100
}

// Validation says what may be typed into a range. At most one of Words, Source
// and the bounds is used, in this order.
type Validation struct {
	Range  string
	Words  []string // to choose from; together at most 255 characters, no commas within
	Source string   // a defined name or reference that holds the words, without "="

	// Whole and Decimal ask for a number between Low and High; a nil bound is
	// open. At least one bound is needed.
	Whole, Decimal bool
	Low, High      *float64

	PromptTitle, Prompt string // shown when the cell is chosen; at most 32 and 255 characters
	ErrorTitle, Error   string // shown when the entry does not fit; at most 32 and 225 characters

	// Strict refuses what does not fit. Else the estimator is asked, and may
	// keep it.
	Strict bool
}

// ChartKind is the shape of a chart.
type ChartKind uint8

// The shapes. Bars lie, columns stand; a stacked one needs Chart.Series. A curve
// goes through points: Names are how far along, Values how high.
const (
	Bar ChartKind = iota
	BarStacked
	Column
	ColumnStacked
	Curve
)

// Series is one row of values of a chart with several.
type Series struct {
	Name   string // a reference to the cell that names it, such as 'Summary'!$C$19
	Values string // a reference such as 'Summary'!$C$20:$C$27
}

// Chart is a native chart over cells of the workbook.
type Chart struct {
	Kind          ChartKind
	At            string // the cell under its upper left corner
	Title         string
	Names         string   // reference to the names of the bars, such as 'Summary'!$B$20:$B$27
	Values        string   // reference to the values, if there is one series
	Series        []Series // if there are several; then Values stays blank
	Width, Height int      // pixels; 0 = 620 and 320
	Unit          string   // unit of the values: the title of their axis
	Along         string   // the title of the other axis
	Signed        bool     // values may be below zero
	Format        string   // number format of the values' labels; "" = that of the cells
}

// Paper is a size of paper, as the format counts them (ECMA-376 part 1, 18.3.1.63).
type Paper int

// The two that shops print on: that of the United States, and that of the rest. Where none
// is said, a spreadsheet program takes the first, or the one that it usually prints on.
const (
	Letter Paper = 1
	A4     Paper = 9
)

// PaperFor is what a shop is taken to print on, by whether it works in metric units.
func PaperFor(metric bool) Paper {
	if metric {
		return A4
	}
	return Letter
}

// Size is a sheet of paper in inches, upright: ISO 216 for A4. Of one that is not known it
// is what both have, so that no more is taken to fit than does.
func (p Paper) Size(lying bool) (wide, high float64) {
	const a4Wide, a4High = 210 / 25.4, 297 / 25.4
	wide, high = 8.5, 11
	if p == A4 || p != Letter && lying { // two upright pages are as low as Letter, two lying ones as A4
		wide, high = a4Wide, a4High
	}
	if lying {
		return high, wide
	}
	return wide, high
}

// Print is how a sheet is printed.
type Print struct {
	Paper     Paper  // 0: not said
	Area      string // such as "A1:H60", or several with commas between; "" = all that is used
	TitleRows string // repeated on every page, such as "5:5"
	TitleCols string // repeated on pages of what stands right of them, such as "B:B"; wants rows too
	Portrait  bool   // else landscape
	Foot      string // left of the footer: shop and order, in plain words
	PagesWide int    // 0 = 1
	OnePage   bool   // all on one page
	Breaks    []int  // rows that begin a new page
}

// Name is a defined name that belongs to one sheet: the print area and the
// rows repeated. It does not move across with the sheet's own part.
type Name struct {
	Sheet string
	Name  string // _xlnm.Print_Area or _xlnm.Print_Titles
	Ref   string // such as 'Summary'!$A$1:$H$60
}
