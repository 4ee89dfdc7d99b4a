package sheets

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
	"seamtally/compute/formula"
	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
)

// odMark stands in a special formula where the cell of the outside diameter, as
// read, goes.
const odMark = "\x01"

// reader reads one input of a list's rows into the line, and gives the formula
// that its "as read" column shows.
type reader struct {
	q     *compute.Quantity
	shop  shopColumn    // col 0: the list has no such column
	plain page.Template // for a blank cell, or one that is as the column has it
	cell  string        // the shop's cell, with page.RowMark
	scale formula.Factor
	want  entry.Want
	words string // the list of words; "" if any text will do
	table *compute.Scope
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

// readers makes the readers of a list.
func (b *jointLists) readers(l *list) ([]reader, error) {
	cells := lineCells(b.Model, b.Names, l)
	var out []reader
	for _, q := range b.Model.Line.Quantities {
		if q.Role != compute.Input {
			continue
		}
		r := reader{q: q, shop: l.shop[q.Key]}
		if err := b.prepare(&r, cells, l); err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}

// prepare settles the unit of the column and prints its usual formula.
func (b *jointLists) prepare(r *reader, cells resolver, l *list) error {
	blank := "0"
	switch {
	case r.q.Key == "car":
		r.text = cmp.Or(strings.TrimSpace(l.title), untitled)
		blank = page.Quoted(r.text)
	case r.q.Formula() != nil:
		var err error
		if blank, err = r.q.Formula().Print(cells); err != nil {
			return err
		}
	}
	r.blank = blank
	if r.shop.col == 0 {
		r.plain = page.NewTemplate(blank)
		return nil
	}
	r.cell = part.ColName(r.shop.col) + page.RowMark
	value := r.cell
	if r.q.IsText() {
		b.prepareWords(r)
		if r.q.Key == "car" {
			value += `&""`
		}
	} else {
		heading := r.shop.unit
		if !r.shop.hasUnit || !heading.SameDim(r.q.Unit) {
			heading = r.q.Unit
		}
		f, err := formula.Conversion(heading, r.q.Unit)
		if err != nil {
			return err
		}
		r.scale = f
		value += f.Text()
		r.want = r.shop.desc.Want(r.q.Unit, heading)
		r.want.Key = r.name()
	}
	if r.q.Needed {
		r.plain = page.NewTemplate(value)
		return nil
	}
	r.plain = page.NewTemplate(fmt.Sprintf(`IF(%s="",%s,%s)`, r.cell, blank, value))
	return nil
}

func (b *jointLists) prepareWords(r *reader) {
	if r.shop.desc.Takes != entry.TakesWords {
		return
	}
	r.words = r.shop.desc.List
	for _, t := range b.Model.Tables {
		if t.Name == tableOfWords(r.words) {
			r.table = t
		}
	}
}

// tableOfWords is the table whose names a list of words must be among.
func tableOfWords(list string) string {
	switch list {
	case "kind", "setup", "alloy":
		return list + "s"
	}
	return ""
}

// misread is why a cell cannot be taken.
type misread struct {
	rule, what, fix string
	note            bool // it was taken, and this says how
}

// read takes a cell into the line. special is the formula for this cell alone,
// "" for the column's own.
func (b *jointLists) read(r *reader, c *part.Cell, line *compute.Line) (special string, m *misread) {
	if r.shop.col == 0 || c == nil || c.Kind == part.Empty && !c.HasFormula || c.Kind == part.Text && strings.TrimSpace(c.Text) == "" {
		if r.q.Key == "car" {
			if strings.ContainsAny(r.text, "*?~") { // a title has none but the last
				return "", &misread{rule: "pattern", what: fmt.Sprintf("the sheet's title %q is the car, and has one of * ? ~ in it, which a spreadsheet reads as a pattern", r.text), fix: "rename the sheet, or type the car"}
			}
			line.SetText(r.q, r.text)
		}
		if r.shop.col > 0 && !r.q.Needed && c != nil && c.Text != "" {
			return r.exact(c.Text, r.blank, nil) // blanks only: no empty cell to a spreadsheet
		}
		return "", nil
	}
	switch {
	case c.Kind == part.Error:
		return "", &misread{rule: "error value", what: fmt.Sprintf("%s shows %s", r.name(), c.Text), fix: "correct the formula in that cell"}
	case c.Kind == part.Empty:
		return "", &misread{rule: "no stored value", what: fmt.Sprintf("%s is a formula without a stored value", r.name()), fix: "open the workbook in your spreadsheet program and save it once"}
	case r.q.IsText():
		return b.readText(r, c, line)
	case c.Kind == part.Bool:
		return "", &misread{rule: "not a number", what: fmt.Sprintf("%s is TRUE or FALSE", r.name()), fix: "type a number"}
	case c.Kind == part.Number:
		if b.IsDate(c.Style) {
			return "", &misread{rule: findDate, what: fmt.Sprintf("%s is a date", r.name()), fix: "the spreadsheet took a fraction for a date: type it as a decimal, and set the cell's format to a number"}
		}
		line.Set(r.q, r.scale.Apply(c.Num))
		return "", nil
	}
	return b.readQuantity(r, c, line)
}

func (r *reader) name() string { return strings.ToLower(r.q.Heading[:1]) + r.q.Heading[1:] }

// readQuantity reads a text that stands for a number.
func (b *jointLists) readQuantity(r *reader, c *part.Cell, line *compute.Line) (string, *misread) {
	got, err := b.Measures.Quantity(c.Text, r.want)
	if err != nil {
		var u *entry.Unreadable
		if errors.As(err, &u) {
			return "", &misread{rule: "not readable", what: u.What, fix: u.Fix}
		}
		return "", &misread{rule: "not readable", what: err.Error(), fix: "type a number"}
	}
	// Spreadsheets keep fifteen digits of a number in a formula.
	value := strconv.FormatFloat(got.Value, 'g', 15, 64)
	x, err := strconv.ParseFloat(value, 64)
	if err != nil {
		return "", &misread{rule: "not readable", what: err.Error(), fix: "type a number"}
	}
	if got.PerOD {
		od := b.Model.Line.Quantity("od")
		if !line.Given(od) {
			return "", &misread{rule: "not readable", what: fmt.Sprintf("%s %q is a multiple of an outside diameter that is not there", r.name(), c.Text), fix: "type the outside diameter"}
		}
		x *= od.Num(&line.Frame)
		value += "*" + odMark
	}
	line.Set(r.q, x)
	rule := "read as"
	if got.Plain {
		rule = findKeptAsText
	}
	return r.exact(c.Text, value, &misread{rule: rule, what: r.taken(got), note: true})
}

// taken says how a text was read.
func (r *reader) taken(got entry.Reading) string {
	if got.Plain {
		return fmt.Sprintf("%s is a number kept as text, read as %s", r.name(), got.Note)
	}
	return fmt.Sprintf("%s is text, read as %s", r.name(), got.Note)
}

// untitled is the car of a list on a sheet whose title is blanks.
const untitled = "untitled"

// longestLiteral is how long a text in a formula may be, in UTF-16 units: with a
// longer one spreadsheet programs take the whole file for damaged.
const longestLiteral = 255

// exact is a formula that holds for one text only: edited, it shows #N/A
// rather than a number that is no longer meant. It comes with the note, or with
// why there is none: the text cannot stand in a formula.
func (r *reader) exact(text, value string, note *misread) (string, *misread) {
	switch n := len(utf16.Encode([]rune(text))); {
	case n > longestLiteral:
		return "", &misread{rule: "long text", what: fmt.Sprintf("%s is a text of %d characters, blanks counted", r.name(), n), fix: "type it anew, without the blanks"}
	case strings.ContainsFunc(text, unseen):
		return "", hasUnseen(r.name())
	}
	return fmt.Sprintf(`IF(EXACT(%s,%s),%s,NA())`, r.cell, page.Quoted(text), value), note
}

func hasUnseen(name string) *misread {
	return &misread{rule: "control character", what: name + " is a text with a control character in it, which is not seen", fix: "type it anew"}
}

// unseen tells the characters that no formula can hold, or that came in place
// of one that could not be read. Line feeds and tabs are typed by people.
func unseen(r rune) bool {
	return unicode.IsControl(r) && r != '\n' && r != '\t' || r == utf8.RuneError || r == 0xFFFE || r == 0xFFFF
}

func (b *jointLists) readText(r *reader, c *part.Cell, line *compute.Line) (string, *misread) {
	raw := book.CellText(*c)
	if c.Kind == part.Bool {
		raw = map[bool]string{true: "yes", false: "no"}[c.Num != 0]
	}
	if strings.ContainsAny(raw, "*?~") {
		return "", &misread{rule: "pattern", what: fmt.Sprintf("%s %q has one of * ? ~ in it, which a spreadsheet reads as a pattern", r.name(), raw), fix: "take the sign out"}
	}
	if len(raw) > 200 {
		return "", &misread{rule: "long name", what: fmt.Sprintf("%s is a text of %d letters", r.name(), len(raw)), fix: "shorten it to under 200"}
	}
	if r.q.Key == "car" {
		if strings.ContainsFunc(raw, unseen) {
			return "", hasUnseen(r.name()) // rows are added up by it, and programs differ on what it says
		}
		// The cell itself, unlike the name, may have blanks around it.
		line.SetText(r.q, raw)
		if c.Kind == part.Text && c.Text != raw {
			return r.exact(c.Text, page.Quoted(raw), nil)
		}
		return "", nil
	}
	if r.words == "" {
		line.SetText(r.q, raw)
		return "", nil
	}
	known, is := r.known[raw]
	if !is {
		var m *misread
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
	if known.exact && c.Kind == part.Text && c.Text == raw {
		line.SetText(r.q, raw)
		return "", nil
	}
	line.SetText(r.q, known.word)
	text := c.Text
	if c.Kind == part.Number {
		text = raw
	}
	if c.Kind == part.Bool {
		text = map[bool]string{true: "TRUE", false: "FALSE"}[c.Num != 0]
	}
	return r.exact(text, page.Quoted(known.word), nil)
}

// readWord finds the word that a text stands for.
func (b *jointLists) readWord(r *reader, raw string) (knownWord, *misread) {
	names := b.TableNames(r.table)
	word, exact, err := b.Words.Read(r.words, raw, names)
	if err != nil {
		var u *entry.Unknown
		if errors.As(err, &u) {
			u.List = r.name()
			what, fix, _ := strings.Cut(u.Error(), "; ")
			return knownWord{}, &misread{rule: "word not known", what: what, fix: fix}
		}
		return knownWord{}, &misread{rule: "word not known", what: err.Error(), fix: "choose one of the list"}
	}
	if r.table != nil && !book.Contains(names, word) {
		return knownWord{}, &misread{rule: "word not known", what: fmt.Sprintf("%s %q is not in the table %q", r.name(), word, r.table.Title), fix: "add a line for it on the Assumptions sheet"}
	}
	return knownWord{word, exact}, nil
}
