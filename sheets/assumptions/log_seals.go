package assumptions

import (
	"fmt"
	"hash/fnv"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// StateSeal lines of the record say what the last run left on our sheets besides
// what figures come from, so that an audit can tell what was touched since. Their
// names are the keys of the sheets, and those below.
const StateSeal = "As written"

// What is sealed besides the words on each sheet.
const (
	SealSummary     = "summary"
	SealAssumptions = "assumptions"
	SealLog         = "log"
	SealRanges      = "usual ranges"
	SealBases       = "bases"
	SealMoney       = "sign of money"
	SealChoices     = "limited entries"
)

// NoSeal stands where there is nothing to seal.
const NoSeal = "none"

// sealNames are the names of all seals, in their order.
func sealNames() []string {
	out := []string{SealSummary, SealAssumptions}
	for _, k := range book.Kinds() {
		out = append(out, k.Key)
	}
	return append(out, SealLog, SealRanges, SealBases, SealMoney, SealChoices)
}

// digest16 is the digest of texts as four characters. It need not withstand anybody:
// it finds what was changed by hand.
func digest16(texts ...string) string {
	h := fnv.New64a()
	for _, s := range texts {
		fmt.Fprintf(h, "%s\x00", s)
	}
	x := h.Sum64()
	return fmt.Sprintf("%04x", uint16(x^x>>16^x>>32^x>>48))
}

// sealGroups is how many digests a seal has at the most: a cell holds 32,767
// characters.
const sealGroups = 6000

// SealedRows are the words of a sheet, as many rows together as one digest is of.
func SealedRows(words []page.Words) [][]page.Words {
	n := max(1, (len(words)+sealGroups-1)/sealGroups)
	var out [][]page.Words
	for i := 0; i < len(words); i += n {
		out = append(out, words[i:min(i+n, len(words))])
	}
	return out
}

// Seal is the seal of the words of a sheet: which words the program has for it, and
// what stands there, a digest a row. Rows that are moved keep theirs.
func Seal(words []page.Words, stands func(row int, c page.Cell) string) string {
	var planned []string
	for _, w := range words {
		for _, c := range w.Cells {
			planned = append(planned, fmt.Sprint(c.Col), c.Text)
		}
	}
	var out strings.Builder
	out.WriteString(digest16(planned...) + digest16(append(planned, "again")...))
	for _, g := range SealedRows(words) {
		var texts []string
		for _, w := range g {
			for _, c := range w.Cells {
				texts = append(texts, stands(w.Row, c))
			}
		}
		out.WriteString(" " + digest16(texts...))
	}
	return out.String()
}

// BrokenSeal says which groups of rows are not what the seal has; known is false
// where the program had other words for the sheet when it was sealed.
func BrokenSeal(was, now string) (groups []int, known bool) {
	a, b := strings.Fields(was), strings.Fields(now)
	if len(a) != len(b) || len(a) == 0 || a[0] != b[0] {
		return nil, false
	}
	for i := 1; i < len(a); i++ {
		if a[i] != b[i] {
			groups = append(groups, i-1)
		}
	}
	return groups, true
}

// SealWords seals the words of a sheet as the run leaves them, which leaves says.
func (r *Sheet) SealWords(key string, words []page.Words, leaves func(row int, c page.Cell) string) {
	if r.Sealed == nil {
		r.Sealed = map[string]string{}
	}
	r.Sealed[key] = Seal(words, leaves)
}

// SealedWords are the words of a sheet that are sealed, but for some rows: of
// Assumptions not the program's own tables at the foot, which every run writes anew,
// nor the log, whose lines have seals of their own.
func (r *Sheet) SealedWords(key string, p *page.Plan, but page.Rows) []page.Words {
	at := r.placed
	var out []page.Words
	for _, w := range p.Words() {
		switch {
		case w.Row >= but.First && w.Row <= but.Last():
			continue
		case key != SealAssumptions:
		case w.Row >= at.state.First-footHead+1, w.Row >= at.log.First && w.Row <= at.log.Last():
			continue
		case w.Row == at.heads: // columns that came later head themselves
			for i, c := range w.Cells {
				if c.Col > book.AssumePlace {
					w.Cells = w.Cells[:i]
					break
				}
			}
		}
		if key == SealAssumptions { // titles of sections come with the rows that arrive
			w.Cells = slices.DeleteFunc(w.Cells, func(c page.Cell) bool { return c.Style.Role == look.Section })
		}
		if len(w.Cells) > 0 {
			out = append(out, w)
		}
	}
	return out
}

// seal fills the seals of the record, once Assumptions is laid out.
func (a *Plan) seal() error {
	a.placed = a.At
	a.SealWords(SealAssumptions, a.SealedWords(SealAssumptions, a.p, page.Rows{}), func(row int, c page.Cell) string {
		if a.p.Writes(c) || a.At.Arrived(row) {
			return c.Text
		}
		return book.CellText(*a.Own.Cell(row, c.Col))
	})
	a.Sealed[SealLog] = a.sealLog()
	a.Sealed[SealRanges] = a.sealRanges()
	a.Sealed[SealBases] = a.sealBases()
	a.Sealed[SealMoney] = a.Currency()
	var err error
	if a.Sealed[SealChoices], err = a.sealChoices(); err != nil {
		return err
	}
	for i, s := range a.Now {
		if s.What == StateSeal && a.Sealed[s.Name] != "" {
			a.Now[i].Value = a.Sealed[s.Name]
		}
	}
	return nil
}

// validated finds the cells whose entries a sheet limits.
var validated = regexp.MustCompile(`<(?:[A-Za-z0-9]+:)?dataValidation\s[^>]*?sqref="([^"]*)"|<(?:[A-Za-z0-9]+:)?sqref>([^<]*)<`)

// sealChoices has the number of cells whose entries are limited, of those that the
// program limits, and the first that is not.
func (a *Plan) sealChoices() (string, error) {
	var there []grid.Range
	if i := a.Workbook.Sheet(a.Own.Assumptions); !a.p.Build && i >= 0 {
		src, err := a.Package.Read(a.Workbook.Sheets[i].PartName)
		if err != nil {
			return "", err
		}
		for _, m := range validated.FindAllSubmatch(src, -1) {
			for _, ref := range strings.Fields(string(m[1]) + " " + string(m[2])) {
				if r, err := grid.ParseRange(ref); err == nil {
					there = append(there, r)
				}
			}
		}
	}
	limited, first := 0, ""
	seen := map[[2]int]bool{}
	for _, v := range a.p.Shell.Validations {
		r, err := grid.ParseRange(v.Range)
		for row := r.Row1; err == nil && row <= r.Row2; row++ {
			for col := r.Col1; col <= r.Col2; col++ {
				at := [2]int{row, col}
				if seen[at] {
					continue
				}
				seen[at] = true
				if a.p.Build || slices.ContainsFunc(there, func(t grid.Range) bool {
					return t.Row1 <= row && row <= t.Row2 && t.Col1 <= col && col <= t.Col2
				}) {
					limited++
				} else if first == "" {
					first = grid.Ref(row, col)
				}
			}
		}
	}
	return strings.TrimSuffix(fmt.Sprintf("%d, not %s", limited, first), ", not "), nil
}

// LoggedRun is what the log has of one run, whose lines bear one number.
type LoggedRun struct {
	No, Row int // its first row
	lines   []string
}

// digest is that of its lines, in whatever order.
func (l *LoggedRun) digest() string {
	slices.Sort(l.lines)
	return digest16(l.lines...)
}

// Holds reports whether the lines of a run are what was sealed.
func (l *LoggedRun) Holds(seal string) bool { return seal == "" || l.digest() == seal }

// logged adds a line to what is known of the runs.
func logged(runs []*LoggedRun, no, row int, line string) []*LoggedRun {
	for _, r := range runs {
		if r.No == no {
			r.lines = append(r.lines, line)
			return runs
		}
	}
	return append(runs, &LoggedRun{no, row, []string{line}})
}

// LoggedRuns are the runs that the log has lines of. Who and why are the shop's to
// write.
func (b *Sheet) LoggedRuns() []*LoggedRun {
	var out []*LoggedRun
	was := b.readLog()
	for row := was.rows.First; row <= was.last; row++ {
		var texts []string
		for col := logNo; col <= logLast; col++ {
			if col != logWho && col != logWhy {
				texts = append(texts, logText(b.Own.Cell(row, col).Kind, b.Own.Cell(row, col).Num, book.CellText(*b.Own.Cell(row, col))))
			}
		}
		if no := b.Own.Cell(row, logNo); no.Kind == worksheet.Number {
			out = logged(out, int(no.Num), row, strings.Join(texts, "\x00"))
		}
	}
	return out
}

// logText is what a cell of the log says, amounts to the cent.
func logText(kind worksheet.Kind, x float64, text string) string {
	if kind == worksheet.Number {
		return fmt.Sprintf("%.2f", x)
	}
	return text
}

// sealLog has a digest of what the log has of every run. A run that was sealed before
// keeps its seal: what was changed since stays told.
func (a *Plan) sealLog() string {
	was := a.SealOf(SealLog)
	seals := Pairs(was)
	var out []string
	if was != NoSeal {
		out = strings.Fields(was)
	}
	runs := a.LoggedRuns()
	for row := a.At.log.First; row <= a.At.log.Last(); row++ {
		if a.p.Rows[row] == nil {
			continue
		}
		no, texts := 0, []string{}
		for col := logNo; col <= logLast; col++ {
			c := a.p.Cell(row, col)
			if col == logNo {
				no = int(c.Num)
			}
			if col != logWho && col != logWhy {
				texts = append(texts, logText(c.Kind, c.Num, c.Text))
			}
		}
		if no > 0 {
			runs = logged(runs, no, row, strings.Join(texts, "\x00"))
		}
	}
	for _, r := range runs {
		if key := strconv.Itoa(r.No); seals[key] == "" {
			out = append(out, key+":"+r.digest())
		}
	}
	return strings.Join(out, " ")
}

// Pairs takes a seal of keys and digests apart.
func Pairs(seal string) map[string]string {
	out := map[string]string{}
	for _, f := range strings.Fields(seal) {
		if k, v, ok := strings.Cut(f, ":"); ok {
			out[k] = v
		}
	}
	return out
}

// SealOf is a seal as the record has it; NoSeal where there is none.
func (b *Sheet) SealOf(name string) string {
	for _, s := range b.ReadState() {
		if s.What == StateSeal && s.Name == name {
			return s.Value
		}
	}
	return NoSeal
}

// sealRanges has the usual range of every assumption.
func (a *Plan) sealRanges() string {
	var out []string
	for _, q := range a.Model.Singles.Quantities {
		if q.Role == compute.Assumption && q.HasRange {
			low, high := q.Low, q.High
			if !a.p.Build && !a.At.Arrived(a.At.Key[q.Key]) {
				low, high = a.Own.Cell(a.At.Key[q.Key], book.AssumeLow).Num, a.Own.Cell(a.At.Key[q.Key], book.AssumeHigh).Num
			}
			out = append(out, q.Key+":"+RangeText(low, high))
		}
	}
	return strings.Join(out, " ")
}

// RangeText is a usual range.
func RangeText(low, high float64) string {
	return formula.GeneralText(low) + ".." + formula.GeneralText(high)
}

// sealBases has a digest of the basis of every assumption, with how far it is to be
// trusted, and of every line of a table.
func (a *Plan) sealBases() string {
	var out []string
	add := func(key, basis, reliability string) {
		if basis = strings.TrimSpace(basis); basis != "" {
			out = append(out, key+":"+digest16(basis, reliability))
		}
	}
	for _, q := range a.Model.Singles.Quantities {
		row := a.At.Key[q.Key]
		switch {
		case q.Role != compute.Assumption:
		case a.p.Build || a.At.Arrived(row):
			add(q.Key, q.Source, "")
		default:
			add(q.Key, book.CellText(*a.Own.Cell(row, book.AssumeBasis)), book.CellText(*a.Own.Cell(row, a.At.reliability)))
		}
	}
	for _, t := range a.Model.Tables {
		if q := t.Quantity("basis"); q != nil && q.IsText() {
			for i, f := range a.Values.Rows(t).Frames {
				add(BasisKey(t, i), q.Text(f), "")
			}
		}
	}
	return strings.Join(out, " ")
}

// BasisKey is what the basis of a table's line is sealed as.
func BasisKey(t *compute.Scope, i int) string { return fmt.Sprintf("%s!%d", t.Name, i+1) }

// BasisAt is the cell of a sealed basis.
func (at *Places) BasisAt(m *compute.Model, key string) (cell string, ok bool) {
	if row := at.Key[key]; row > 0 {
		return grid.Ref(row, book.AssumeBasis), true
	}
	name, no, _ := strings.Cut(key, "!")
	i, err := strconv.Atoi(no)
	for _, t := range m.Tables {
		if t.Name == name && err == nil && at.Table[t].First > 0 {
			return grid.Ref(at.Table[t].First+i-1, at.Table[t].Cols[t.Quantity("basis")]), true
		}
	}
	return "", false
}
