package joints

import (
	"cmp"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/compute/units"
	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/headings"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// odMark stands in a special formula where the cell of the outside diameter, as
// read, goes.
const odMark = "\x01"

// Reader reads one input of a list's rows into the line, and gives the formula
// that its "as read" column shows.
type Reader struct {
	Q     *model.Quantity
	Shop  headings.Column // col 0: the list has no such column
	Plain page.Template   // for a blank cell, or one that is as the column has it
	Cell  string          // the shop's cell, with page.RowMark
	Scale units.Factor
	Want  entry.Want
	Words string // the list of words; "" if any text will do
	table *model.Scope
	text  string // what a blank text means that no assumption says: the car
	blank string // what a blank cell stands for, as a formula
	known map[string]knownWord
}

// knownWord is a text that a column has had before, as it was read. Columns
// hold few different words.
type knownWord struct {
	word  string
	exact bool
}

// mostKnown bounds how many are kept of a column that holds anything.
const mostKnown = 1000

// Readers makes the readers of a list.
func (b *Lists) Readers(l *List) ([]Reader, error) {
	cells := LineCells(b.Model, b.Names, l)
	var out []Reader
	for _, q := range b.Model.Line.Quantities {
		if q.Role != model.Input {
			continue
		}
		r := Reader{Q: q, Shop: l.Shop[q.Key]}
		if err := b.prepare(&r, cells, l); err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}

// prepare settles the unit of the column and prints its usual formula.
func (b *Lists) prepare(r *Reader, cells book.Resolver, l *List) error {
	blank := "0"
	switch {
	case r.Q.Key == "car":
		r.text = cmp.Or(strings.TrimSpace(l.Called), strings.TrimSpace(l.Title), untitled)
		blank = page.Quoted(r.text)
	case r.Q.Formula() != nil:
		var err error
		if blank, err = r.Q.Formula().Print(cells); err != nil {
			return err
		}
	}
	r.blank = blank
	if r.Shop.Col == 0 {
		r.Plain = page.NewTemplate(blank)
		return nil
	}
	r.Cell = grid.ColName(r.Shop.Col) + page.RowMark
	value := r.Cell
	if r.Q.IsText() {
		b.prepareWords(r)
		switch known := b.Words.List(r.Words); {
		case r.Q.Key == "car":
			value += `&""`
		case r.table == nil && known != nil: // a table's names are looked up, these are only compared
			value = onlyOf(r.Cell, known)
		}
	} else {
		heading := r.Shop.Unit
		if !r.Shop.HasUnit || !heading.SameDim(r.Q.Unit) {
			heading = r.Q.Unit
		}
		f, err := units.Conversion(heading, r.Q.Unit)
		if err != nil {
			return err
		}
		r.Scale = f
		value += f.Text() + "/" + isNumber(r)
		r.Want = r.Shop.Desc.Want(r.Q.Unit, heading)
		r.Want.Key = r.Name()
	}
	if r.Q.Needed {
		r.Plain = page.NewTemplate(value)
		return nil
	}
	r.Plain = page.NewTemplate(fmt.Sprintf(`IF(%s="",%s,%s)`, r.Cell, blank, value))
	return nil
}

// isNumber stops a text or a truth that is typed into a priced workbook: the row
// shows an error, where a program may take the text for a number, or compare it
// as a text. It is worth 1 over a number.
func isNumber(r *Reader) string {
	is := "ISNUMBER(" + r.Cell + ")"
	if r.Q.Needed { // nothing asks first whether the cell is blank
		return "OR(" + r.Cell + `="",` + is + ")"
	}
	return is
}

// onlyOf is a cell's text where that is one of some words, else an error.
func onlyOf(cell string, words []string) string {
	var is []string
	for _, w := range words {
		is = append(is, cell+"="+page.Quoted(w))
	}
	return "REPT(" + cell + ",1/OR(" + strings.Join(is, ",") + "))"
}

func (b *Lists) prepareWords(r *Reader) {
	if r.Shop.Desc.Takes != entry.TakesWords {
		return
	}
	r.Words = r.Shop.Desc.List
	r.table = b.TableOfWords(r.Words)
}

// saveOnce is what to do about a formula whose stored value is none, or another's.
const saveOnce = "open the workbook in your spreadsheet program and save it once"

// Misread is why a cell cannot be taken.
type Misread struct {
	rule, What, fix string
	Note            bool // it was taken, and this says how
}

// ReadCell takes a cell into the line. special is the formula for this cell alone,
// "" for the column's own.
func (b *Lists) ReadCell(r *Reader, c *worksheet.Cell, line *compute.Line) (special string, m *Misread) {
	if r.Shop.Col == 0 || c == nil || c.Kind == worksheet.Empty && !c.HasFormula || c.Kind == worksheet.Text && strings.TrimSpace(c.Text) == "" {
		if r.Q.Key == "car" {
			if strings.ContainsAny(r.text, "*?~") { // a title has none but the last
				return "", &Misread{rule: "pattern", What: fmt.Sprintf("the sheet's title %q is the car, and has one of * ? ~ in it, which a spreadsheet reads as a pattern", r.text), fix: "rename the sheet, or type the car"}
			}
			line.SetText(r.Q, r.text)
		}
		if r.Shop.Col > 0 && !r.Q.Needed && c != nil && c.Text != "" {
			return r.exact(c.Text, r.blank, nil) // blanks only: no empty cell to a spreadsheet
		}
		return "", nil
	}
	switch {
	case c.Kind == worksheet.Error:
		return "", &Misread{rule: "error value", What: fmt.Sprintf("%s shows %s", r.Name(), c.Text), fix: "correct the formula in that cell"}
	case c.Kind == worksheet.Empty:
		return "", &Misread{rule: "no stored value", What: fmt.Sprintf("%s is a formula without a stored value", r.Name()), fix: saveOnce}
	case r.Q.IsText():
		return b.readText(r, c, line)
	case c.Kind == worksheet.Bool:
		return "", &Misread{rule: "not a number", What: fmt.Sprintf("%s is TRUE or FALSE", r.Name()), fix: "type a number"}
	case c.Kind == worksheet.Number:
		if b.IsDate(c.Style) {
			return "", &Misread{rule: book.FindDate, What: fmt.Sprintf("%s is a date", r.Name()), fix: "the spreadsheet took a fraction for a date: type it as a decimal, and set the cell's format to a number"}
		}
		line.Set(r.Q, r.Scale.Apply(c.Num))
		return "", b.shownOtherwise(r, c)
	}
	return b.readQuantity(r, c, line)
}

func (r *Reader) Name() string { return r.Q.Name() }

// readQuantity reads a text that stands for a number.
func (b *Lists) readQuantity(r *Reader, c *worksheet.Cell, line *compute.Line) (string, *Misread) {
	got, err := b.Measures.Quantity(c.Text, r.Want)
	if err != nil {
		var u *entry.Unreadable
		if errors.As(err, &u) {
			return "", &Misread{rule: "not readable", What: u.What, fix: u.Fix}
		}
		return "", &Misread{rule: "not readable", What: err.Error(), fix: "type a number"}
	}
	if write, or := entry.Thousands(c.Text); or != "" && !got.PerOD && r.Q.HasRange && !r.Q.Beyond(got.Value) && !r.Q.Beyond(1000*got.Value) {
		return "", &Misread{rule: "dot", What: fmt.Sprintf("%s is text %q, thousands or a decimal", r.Name(), c.Text), fix: fmt.Sprintf("write %s or %s", write, or)}
	}
	// Spreadsheets keep fifteen digits of a number in a formula.
	value := strconv.FormatFloat(got.Value, 'g', 15, 64)
	x, err := strconv.ParseFloat(value, 64)
	if err != nil {
		return "", &Misread{rule: "not readable", What: err.Error(), fix: "type a number"}
	}
	if got.PerOD {
		od := b.Model.Line.Quantity("od")
		if !line.Given(od) {
			return "", &Misread{rule: "not readable", What: fmt.Sprintf("%s %q is a multiple of an outside diameter that is not there", r.Name(), c.Text), fix: "type the outside diameter"}
		}
		x *= od.Num(&line.Frame)
		value += "*" + odMark
	}
	line.Set(r.Q, x)
	rule := "read as"
	if got.Plain {
		rule = book.FindKeptAsText
	}
	return r.exact(c.Text, value, &Misread{rule: rule, What: r.taken(got), Note: true})
}

// taken says how a text was read.
func (r *Reader) taken(got entry.Reading) string {
	if got.Plain {
		return fmt.Sprintf("%s is a number kept as text, read as %s", r.Name(), got.Note)
	}
	return fmt.Sprintf("%s is text, read as %s", r.Name(), got.Note)
}

// untitled is the car of a list on a sheet whose title is blanks.
const untitled = "untitled"

// longestLiteral is how long a text in a formula may be, in UTF-16 units: with a
// longer one spreadsheet programs take the whole file for damaged.
const longestLiteral = 255

// exact is a formula that holds for one text only: edited, it shows #N/A
// rather than a number that is no longer meant. It comes with the note, or with
// why there is none: the text cannot stand in a formula.
func (r *Reader) exact(text, value string, note *Misread) (string, *Misread) {
	switch n := len(utf16.Encode([]rune(text))); {
	case n > longestLiteral:
		return "", &Misread{rule: "long text", What: fmt.Sprintf("%s is a text of %d characters, blanks counted", r.Name(), n), fix: "type it anew, without the blanks"}
	case strings.ContainsFunc(text, unseen):
		return "", hasUnseen(r.Name())
	}
	return fmt.Sprintf(`IF(EXACT(%s,%s),%s,NA())`, r.Cell, page.Quoted(text), value), note
}

func hasUnseen(name string) *Misread {
	return &Misread{rule: "control character", What: name + " is a text with a control character in it, which is not seen", fix: "type it anew"}
}

// unseen tells the characters that no formula can hold, or that came in place
// of one that could not be read. Line feeds and tabs are typed by people.
func unseen(r rune) bool {
	return unicode.IsControl(r) && r != '\n' && r != '\t' || r == utf8.RuneError || r == 0xFFFE || r == 0xFFFF
}

func (b *Lists) readText(r *Reader, c *worksheet.Cell, line *compute.Line) (string, *Misread) {
	raw := book.CellText(*c)
	if c.Kind == worksheet.Bool {
		raw = map[bool]string{true: "yes", false: "no"}[c.Num != 0]
	}
	if strings.ContainsAny(raw, "*?~") {
		return "", &Misread{rule: "pattern", What: fmt.Sprintf("%s %q has one of * ? ~ in it, which a spreadsheet reads as a pattern", r.Name(), raw), fix: "take the sign out"}
	}
	if len(raw) > 200 {
		return "", &Misread{rule: "long name", What: fmt.Sprintf("%s is a text of %d letters", r.Name(), len(raw)), fix: "shorten it to under 200"}
	}
	if r.Q.Key == "car" {
		if strings.ContainsFunc(raw, unseen) {
			return "", hasUnseen(r.Name()) // rows are added up by it, and programs differ on what it says
		}
		// The cell itself, unlike the name, may have blanks around it.
		line.SetText(r.Q, raw)
		if c.Kind == worksheet.Text && c.Text != raw {
			return r.exact(c.Text, page.Quoted(raw), nil)
		}
		return "", nil
	}
	if r.Words == "" {
		line.SetText(r.Q, raw)
		return "", nil
	}
	known, is := r.known[raw]
	if !is {
		var m *Misread
		if known, m = b.readWord(r, raw); m != nil {
			return "", m
		}
		if r.known == nil {
			r.known = map[string]knownWord{}
		}
		if len(r.known) < mostKnown {
			r.known[strings.Clone(raw)] = known
		}
	}
	if known.exact && c.Kind == worksheet.Text && c.Text == raw {
		line.SetText(r.Q, raw)
		return "", nil
	}
	line.SetText(r.Q, known.word)
	text := c.Text
	if c.Kind == worksheet.Number {
		text = raw
	}
	if c.Kind == worksheet.Bool {
		text = map[bool]string{true: "TRUE", false: "FALSE"}[c.Num != 0]
	}
	return r.exact(text, page.Quoted(known.word), nil)
}

// readWord finds the word that a text stands for.
func (b *Lists) readWord(r *Reader, raw string) (knownWord, *Misread) {
	names := b.TableNames(r.table)
	word, exact, err := b.Words.Read(r.Words, raw, names)
	if err != nil {
		var u *entry.Unknown
		if errors.As(err, &u) {
			u.List = r.Name()
			what, fix, _ := strings.Cut(u.Error(), "; ")
			return knownWord{}, &Misread{rule: "word not known", What: what, fix: fix}
		}
		return knownWord{}, &Misread{rule: "word not known", What: err.Error(), fix: "choose one of the list"}
	}
	if r.table != nil && !model.Among(names, word) {
		return knownWord{}, &Misread{rule: "word not known", What: fmt.Sprintf("%s %q is not in the table %q", r.Name(), word, r.table.Title), fix: "add a line for it on the Assumptions sheet"}
	}
	return knownWord{word, exact}, nil
}
