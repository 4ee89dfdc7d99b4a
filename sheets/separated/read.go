package separated

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// List is what a file of separated values holds.
type List struct {
	Rows         []Row
	Separator    rune
	DecimalComma bool // numbers are written 0,5
}

// Row is a row of cells as typed, and the line of the file that it begins on.
type Row struct {
	Line  int
	Cells []string
}

// Bounds of a list, those of a sheet among them.
const (
	MostBytes   = 64 << 20
	mostRows    = 1 << 20
	mostColumns = 1 << 14
	mostCell    = 32767 // characters
)

// Read reads a list. Errors name the line, and what to do.
func Read(data []byte) (*List, error) {
	switch {
	case len(data) > MostBytes:
		return nil, fmt.Errorf("the list is larger than %d MB; split it, or save it as a workbook", MostBytes>>20)
	case bytes.HasPrefix(data, []byte("PK\x03\x04")), bytes.HasPrefix(data, []byte("\xD0\xCF\x11\xE0")):
		return nil, fmt.Errorf("it is a workbook under the name of a list; give it the ending .xlsx")
	case bytes.HasPrefix(data, []byte("\xFF\xFE")), bytes.HasPrefix(data, []byte("\xFE\xFF")):
		return nil, fmt.Errorf("the list is written in UTF-16; save it as CSV UTF-8")
	}
	data = bytes.TrimPrefix(data, []byte("\xEF\xBB\xBF"))
	for i, line := range bytes.Split(data, []byte("\n")) {
		if !utf8.Valid(line) {
			return nil, fmt.Errorf("line %d: letters that are not UTF-8; save the list as CSV UTF-8", i+1)
		}
		if bytes.ContainsFunc(line, func(r rune) bool { return unicode.Is(unicode.Cc, r) && r != '\t' && r != '\r' }) {
			return nil, fmt.Errorf("line %d: a control character; it is no list, or damaged", i+1)
		}
	}
	text := string(data)
	l := &List{}
	if first, rest, _ := strings.Cut(text, "\n"); strings.HasPrefix(strings.ToLower(first), "sep=") {
		sep, n := utf8.DecodeRuneInString(first[len("sep="):])
		if n == 0 || sep == '\r' || sep == '"' || strings.TrimRight(first[len("sep="):], "\r") != string(sep) {
			return nil, fmt.Errorf("line 1: sep= names no separator; write sep=; or the like")
		}
		rows, err := split(rest, sep, 2)
		if err != nil {
			return nil, err
		}
		l.Rows, l.Separator = rows, sep
	} else if err := l.separate(text); err != nil {
		return nil, err
	}
	return l, l.numbers()
}

// separate finds the separator: the one that makes the most of even rows.
func (l *List) separate(text string) error {
	best, tied := -1, rune(0)
	var fault error
	for _, sep := range []rune{'\t', ';', ','} {
		rows, err := split(text, sep, 1)
		if err != nil {
			fault = err
			continue
		}
		switch score := evenness(rows); {
		case score > best:
			best, tied = score, 0
			l.Rows, l.Separator = rows, sep
		case score == best && score > 0:
			tied = sep
		}
	}
	switch {
	case best <= 0 && fault != nil:
		return fault
	case tied != 0:
		return fmt.Errorf("the list may be separated by %s or by %s; write sep=%c or sep=%c on a line above it", Called(l.Separator), Called(tied), l.Separator, tied)
	}
	return nil
}

// evenness is how many cells stand in rows of one width, of the first rows, even rows
// counting more than wide ones; 0 where nothing is separated.
func evenness(rows []Row) int {
	const looked = 60
	widths, best := map[int]int{}, 0
	for _, r := range rows[:min(len(rows), looked)] {
		widths[len(r.Cells)]++
	}
	for width, n := range widths {
		best = max(best, n*n*(width-1))
	}
	return best
}

// split takes a text apart. A cell within quotes may hold separators and ends of
// lines, and quotes twice; a quote elsewhere is a letter, as of inches.
func split(text string, sep rune, line int) (rows []Row, err error) {
	text = strings.ReplaceAll(text, "\r\n", "\n")
	text = strings.TrimSuffix(strings.ReplaceAll(text, "\r", "\n"), "\n") // alone, as programs of old ended lines
	row := Row{Line: line}
	var cell strings.Builder
	ends := func() error { // of a cell
		if utf8.RuneCountInString(cell.String()) > mostCell {
			return fmt.Errorf("line %d: a cell with more than %d letters; no workbook holds it", row.Line, mostCell)
		}
		row.Cells = append(row.Cells, cell.String())
		cell.Reset()
		if len(row.Cells) > mostColumns {
			return fmt.Errorf("line %d: more than %d columns; no workbook holds them", row.Line, mostColumns)
		}
		return nil
	}
	for len(text) > 0 {
		fresh := cell.Len() == 0
		if text[0] == '"' && fresh {
			n, value, ok := quoted(text)
			if !ok {
				return nil, fmt.Errorf("line %d: a quotation mark that begins a cell is never closed; close it, or write it twice within quotation marks", line)
			}
			after, size := utf8.DecodeRuneInString(text[n:])
			if size > 0 && after != sep && after != '\n' {
				return nil, fmt.Errorf("line %d: text behind a cell in quotation marks; write a quotation mark within them twice", line)
			}
			cell.WriteString(value)
			line += strings.Count(value, "\n")
			text = text[n:]
			if len(text) == 0 {
				break
			}
		}
		r, size := utf8.DecodeRuneInString(text)
		text = text[size:]
		switch r {
		case sep:
			if err := ends(); err != nil {
				return nil, err
			}
		case '\n':
			if err := ends(); err != nil {
				return nil, err
			}
			line++
			if rows = append(rows, row); len(rows) == mostRows {
				return nil, fmt.Errorf("line %d: more than %d rows; no workbook holds them", line, mostRows)
			}
			row = Row{Line: line}
		default:
			cell.WriteRune(r)
		}
	}
	if err := ends(); err != nil {
		return nil, err
	}
	return append(rows, row), nil
}

// quoted reads a cell within quotes at the beginning of a text.
func quoted(text string) (n int, value string, ok bool) {
	var b strings.Builder
	for n = 1; n < len(text); n++ {
		switch {
		case text[n] != '"':
			b.WriteByte(text[n])
		case n+1 < len(text) && text[n+1] == '"':
			b.WriteByte('"')
			n++
		default:
			return n + 1, b.String(), true
		}
	}
	return n, "", false
}

var (
	withPoint = regexp.MustCompile(`^-?[0-9]*\.[0-9]+$`)
	// A point that may stand between thousands.
	pointOfThousands = regexp.MustCompile(`^-?[1-9][0-9]{0,2}\.[0-9]{3}$`)
	withComma        = regexp.MustCompile(`^-?([0-9]*),([0-9]+)$`)
	// A number that begins with a nought which stands for nothing is a mark.
	number = regexp.MustCompile(`^-?(0|[1-9][0-9]*)?([.,][0-9]+|[.,])?$`)
)

// numbers settles what a comma in a number is.
func (l *List) numbers() error {
	var comma, point, either, dotted string // the first of each, with its line
	for _, r := range l.Rows {
		for _, cell := range r.Cells {
			cell = strings.TrimSpace(cell)
			at := fmt.Sprintf("line %d: %q", r.Line, cell)
			switch m := withComma.FindStringSubmatch(cell); {
			case m != nil && (len(m[2]) != 3 || strings.Trim(m[1], "0") == "" || len(m[1]) > 3):
				comma = first(comma, at)
			case m != nil:
				either = first(either, at)
			case l.Separator != ',' && pointOfThousands.MatchString(cell): // where commas separate, a point is a decimal one
				dotted = first(dotted, at)
			case withPoint.MatchString(cell):
				point = first(point, at)
			}
		}
	}
	switch {
	case comma != "" && point != "":
		return fmt.Errorf("%s has a decimal comma, and %s a decimal point; write all numbers with one of them", comma, point)
	case dotted != "" && comma != "":
		return fmt.Errorf("%s has a decimal comma, and %s a point that may be a decimal one or one of thousands; write numbers without points", comma, dotted)
	case dotted != "" && point == "":
		return fmt.Errorf("%s may be a decimal or thousands; write it without thousands, as 1200, or a decimal with other than three places, as 1.2", dotted)
	case either != "" && comma == "":
		return fmt.Errorf("%s may be a decimal or thousands; write it without thousands, as 1200, or with a decimal point, as 1.2", either)
	}
	l.DecimalComma = comma != ""
	return nil
}

func first(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// mostDigits is how many digits a spreadsheet keeps of a number.
const mostDigits = 15

// Number is a cell as a number, where it is typed as one.
func (l *List) Number(cell string) (float64, bool) {
	cell = strings.TrimSpace(cell)
	if !number.MatchString(cell) || !strings.ContainsAny(cell, "0123456789") || strings.Contains(cell, ",") && !l.DecimalComma ||
		len(strings.Trim(cell, "-.,0")) > mostDigits {
		return 0, false
	}
	x, err := strconv.ParseFloat(strings.Replace(cell, ",", ".", 1), 64)
	return x, err == nil
}

// Called is a separator in words.
func Called(sep rune) string {
	switch sep {
	case '\t':
		return "tabs"
	case ';':
		return "semicolons"
	case ',':
		return "commas"
	}
	return strconv.QuoteRune(sep)
}
