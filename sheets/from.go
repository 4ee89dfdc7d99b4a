package sheets

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/disk"
	"seamtally/sheets/headings"
	"seamtally/sheets/joints"
	"seamtally/sheets/look"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// From is an earlier priced workbook whose rates a workbook without any begins
// with.
type From struct {
	Path, Password string
	// Variable is what names it in the environment as the shop's usual one. A
	// workbook that has rates of its own then keeps them; where it was named for
	// this run alone, "", that is refused.
	Variable string
	// Ask, if set, is asked for the password where the one given does not open it;
	// "" gives up.
	Ask func(file string) (string, error)
}

// Taken is what has come from an earlier workbook.
type Taken struct {
	File string
	assumptions.Took
}

// FindTaken begins the rules of findings of what has come from an earlier workbook.
const FindTaken = "taken: "

// fromError is what is wrong with the earlier workbook, or with taking its rates.
type fromError struct{ err error }

func (e *fromError) Error() string { return e.err.Error() }

// failed names the earlier workbook in an error. A password that is asked for is
// another's than the input's, so that kind of error goes no further.
func (f *From) failed(format string, args ...any) error {
	place := ""
	if f.Variable != "" {
		place = f.Variable + ": "
	}
	return &fromError{errors.New(place + fmt.Sprintf(format, args...))}
}

// open reads an earlier workbook and what it hands on.
func (f *From) open(ctx context.Context, o PriceOptions) (*assumptions.Earlier, error) {
	b, err := book.Open(f.Path, f.Password)
	var locked *book.PasswordError
	if errors.As(err, &locked) && o.Password != "" && o.Password != f.Password {
		b, err = book.Open(f.Path, o.Password) // a shop may have one for all
	}
	if errors.As(err, &locked) && f.Ask != nil {
		typed, stopped := f.Ask(filepath.Base(f.Path))
		switch {
		case stopped != nil:
			return nil, stopped
		case typed != "":
			f.Password = typed
			b, err = book.Open(f.Path, typed)
		}
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, f.failed("%s: there is no such file; check the name and the folder", f.Path)
	case errors.Is(err, fs.ErrPermission):
		return nil, f.failed("%s: not allowed; check whose file it is, and that no other program holds it", f.Path)
	case err != nil:
		return nil, f.failed("%v", err)
	}
	defer b.Close()
	e, err := handed(ctx, b, o)
	if err != nil {
		return nil, f.failed("%s: %v", f.Path, err)
	}
	return e, nil
}

// handed is what a workbook hands on.
func handed(ctx context.Context, b *book.Book, o PriceOptions) (*assumptions.Earlier, error) {
	r := newRun(ctx, b, PriceOptions{files: o.files}, Unwatched{})
	if err := r.ReadOwn(); err != nil {
		return nil, err
	}
	switch {
	case r.AssumptionsGone():
		return nil, errors.New("its sheet Assumptions, with the rates, is gone; name an earlier copy")
	case r.Own.Assumptions == "":
		return nil, errors.New("it has no rates to take, for it was never priced; name a workbook that seamtally price has written")
	}
	sys, ok := r.OwnSystem()
	if !ok {
		return nil, fmt.Errorf("%s: the name %s is gone or broken, and with it whether the rates are US or metric; name an earlier copy", r.Own.Assumptions, book.NameUnits)
	}
	var err error
	if r.Model, err = r.o.model(sys); err != nil {
		return nil, err
	}
	e, err := r.AsEarlier(filepath.Base(b.File.Name()))
	if err != nil {
		return nil, err
	}
	return e, b.StillTheSame()
}

// openFrom reads the earlier workbook, where one is to be taken from, and the
// columns that were settled there.
func (r *Run) openFrom() error {
	f := r.o.From
	switch {
	case f == nil, r.Own.Assumptions != "" && f.Variable != "":
		return nil
	case r.Own.Assumptions != "":
		return &fromError{fmt.Errorf("%s: it has rates of its own, on %s, which stay; leave --from out, or, to begin anew with those of %s, run seamtally clear first", r.o.In, r.Own.Assumptions, f.Path)}
	}
	var err error
	if r.last, err = f.open(r.ctx, r.o); err != nil {
		return err
	}
	return r.takeSettled()
}

// sameUnits refuses rates in other units than those of the joint lists: sizes and
// flows converted would be odd ones, and meet no size of a list.
func (r *Run) sameUnits(sys model.System) error {
	if r.last == nil || r.last.Model.System == sys {
		return nil
	}
	return r.o.From.failed("%s: its rates are in %s units, and the joint lists of %s are in %s units; name a workbook in the same, or head the columns with their units if they were misread",
		r.o.From.Path, r.last.Model.System, r.o.In, sys)
}

// endOfHeads ends the reading of a sheet below the rows that may hold headings.
var errEndOfHeads = errors.New("below the headings")

// takeSettled settles columns that are headed as ones which were settled in the
// earlier workbook, and sheets that are called so.
func (r *Run) takeSettled() error {
	byHead := map[string]map[string]book.ColumnRecord{} // by heading and sheet, in small letters
	for _, s := range r.last.Own.Records {
		switch {
		case s.Ours || s.SettledAs == "":
		case s.Col == book.OfSheet:
			if i := r.Workbook.Sheet(s.Sheet); i >= 0 {
				s.Sheet = r.Workbook.Sheets[i].Name
				r.Own.Records = append(r.Own.Records, s)
				r.last.Took.Columns++
				r.Note(book.LevelWarning, FindTaken+"sheet", s.Sheet, fmt.Sprintf("the sheet is not read: in %s the shop has settled that it is its own", r.last.File), "look whether that holds here too")
			}
		case s.Col > 0 && s.Heading() != "":
			head := strings.ToLower(s.Heading())
			if byHead[head] == nil {
				byHead[head] = map[string]book.ColumnRecord{}
			}
			byHead[head][strings.ToLower(s.Sheet)] = s
		}
	}
	if len(byHead) == 0 {
		return nil
	}
	for _, s := range r.Workbook.Sheets {
		if s.Kind != "worksheet" || s.PartName == "" {
			continue
		}
		_, err := r.ReadPart(s.PartName, func(row *worksheet.Row) error {
			if row.Num > joints.HeadRows {
				return errEndOfHeads
			}
			seen := map[string]int{}
			head := func(c worksheet.Cell) string { return strings.ToLower(strings.TrimSpace(c.Text)) }
			for _, c := range row.Cells {
				seen[head(c)]++
			}
			for _, c := range row.Cells {
				if as, ok := settledAs(byHead[head(c)], s.Name); ok && c.Kind == worksheet.Text && seen[head(c)] == 1 {
					r.Own.Records = append(r.Own.Records, book.ColumnRecord{Sheet: s.Name, Row: row.Num, Col: c.Col, SettledAs: as.SettledAs, SettledUnit: as.SettledUnit})
				}
			}
			return nil
		})
		if err != nil && !errors.Is(err, errEndOfHeads) {
			return fmt.Errorf("sheet %q: %w", s.Name, err)
		}
	}
	return nil
}

// settledAs is what a heading was settled as: on the sheet of that title, else
// where all sheets agree.
func settledAs(by map[string]book.ColumnRecord, sheet string) (book.ColumnRecord, bool) {
	if s, ok := by[strings.ToLower(sheet)]; ok {
		return s, true
	}
	var one *book.ColumnRecord
	for _, s := range by {
		if one != nil && (!strings.EqualFold(one.SettledAs, s.SettledAs) || one.SettledUnit != s.SettledUnit) {
			return s, false
		}
		one = &s
	}
	if one == nil {
		return book.ColumnRecord{}, false
	}
	return *one, true
}

// take begins with the rates of the earlier workbook.
func (r *Run) take() {
	if r.last == nil {
		return
	}
	r.Take(r.last)
	for _, l := range r.All {
		for _, col := range headings.Ordered(l.Heads) {
			if s := joints.Settled(&r.Own, l, col); s.SettledAs != "" && !s.AnyRow {
				r.last.Took.Columns++
				what := "is taken as " + s.SettledAs
				if book.IsOwn(s.SettledAs) {
					what = "is not read"
				}
				r.Note(book.LevelNote, FindTaken+"column", l.Ref(l.HeadRow, col), fmt.Sprintf("column %s %q %s, as settled in %s", grid.ColName(col), l.Heads[col], what, r.last.File), "")
			}
		}
	}
}

// taken tells, once the cars are known, what has come and what of it needs a
// word.
func (r *Run) taken() {
	if r.last == nil {
		return
	}
	file := r.last.File
	tell := func(level book.Level, rule string, all []string, format, fix string) {
		if len(all) > 0 {
			r.Note(level, FindTaken+rule, "", fmt.Sprintf(format, file, strings.Join(all, ", ")), fix)
		}
	}
	gone := r.DropStrangers()
	took := &r.last.Took
	tell(book.LevelWarning, "cars", gone, "lines of other work in %s are for cars that are not in this order, and have not come: %s", "type those that are needed into the table "+r.Model.Table("parts").Title)
	tell(book.LevelWarning, "work", took.Work, "other work has come from %s as it was filled in there: %s", "look whether this order has it, and no other")
	tell(book.LevelWarning, "outdated", took.Outdated, "%s has these as an earlier version shipped them; they are as this one ships them: %s", "type the old ones where they are the shop's own")
	tell(book.LevelWarning, "blank", took.Blank, "%s is of an earlier version and has nothing in these cells, which are shipped with what stands in brackets: %s", "fill them in, or leave them where that is meant")
	tell(book.LevelWarning, "dropped", took.Dropped, "%s has these, which no figure goes by any more, and they have not come: %s", "set what has taken their place")
	tell(book.LevelWarning, "lacks", took.Lacks, "%s is of an earlier version and lacks these, which stay as shipped: %s", "set those that are the shop's own")
	tell(book.LevelNote, "left", took.Left, "each order settles these for itself, and they have not come from %s: %s", "")
	if took.Formulas > 0 {
		r.Note(book.LevelNote, FindTaken+"formulas", "", fmt.Sprintf("%d cells of %s hold formulas of the shop's, and have come as the numbers and words that they show", took.Formulas, file), "")
	}
	if r.last.IsEncrypted && r.Container == nil {
		r.Note(book.LevelWarning, FindTaken+"open", file, "it is encrypted, and the workbook that now has its rates is not", "put a password on it where nobody else may read them")
	}
	r.Report.Taken = &Taken{File: file, Took: *took}
}

// NewFrom writes a starter workbook that has the rates of an earlier one, and is
// priced with them. It is in their units; asking for others is refused.
func NewFrom(ctx context.Context, path string, metric bool, o PriceOptions) (*Report, error) {
	if err := newName(path); err != nil {
		return nil, err
	}
	if _, err := disk.Vacant(path, o.Force); err != nil {
		return nil, err
	}
	last, err := o.From.open(ctx, o)
	if err != nil {
		return nil, err
	}
	inMetric := last.Model.System == model.Metric
	if metric && !inMetric {
		return nil, o.From.failed("%s: its rates are in US units; leave --metric out, or name a workbook in metric units", o.From.Path)
	}
	names := func(table string) []string { return last.TableNames(last.Model.Table(table)) }
	data, err := look.StarterWith(inMetric, names("setups"), names("alloys"))
	if err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp("", "seamtally-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	o.In, o.Out = filepath.Join(dir, filepath.Base(path)), path
	if err := os.WriteFile(o.In, data, 0o644); err != nil {
		return nil, err
	}
	rep, err := Price(ctx, o)
	if err != nil {
		return nil, err
	}
	rep.Input = path
	rep.Findings = slices.DeleteFunc(rep.Findings, func(f book.Finding) bool { return !strings.HasPrefix(f.Rule, FindTaken) })
	return rep, nil
}
