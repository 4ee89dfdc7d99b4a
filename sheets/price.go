package sheets

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/account"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/bid"
	"seamtally/sheets/book"
	"seamtally/sheets/disk"
	"seamtally/sheets/joints"
	"seamtally/sheets/logbook"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/progress"
	"seamtally/sheets/settling"
)

// Price works out every joint list of a workbook and writes the priced
// workbook. The input is never changed unless InPlace is set. An error means
// that nothing was written.
func Price(ctx context.Context, o PriceOptions) (*Report, error) {
	if len(o.Typed) > 0 && !o.DryRun {
		return nil, errors.New("cells are typed over in a dry run alone")
	}
	to, err := disk.Aim(o.In, o.Out, o.InPlace, o.Force, o.DryRun)
	if err != nil {
		return nil, err
	}
	b, err := book.Open(o.In, o.Password)
	if err != nil {
		return nil, err
	}
	defer b.Close()
	if err := b.TypeOver(o.Typed); err != nil {
		return nil, fmt.Errorf("%s: %w", o.In, err)
	}
	run := newRun(ctx, b, o, Unwatched{})
	run.Report.Output, run.Report.Stands = to.Path, to.Stands() && !o.InPlace && !o.Force
	if o.Lines {
		run.observe(lineReporter{run: run})
	}
	edit := b.Package.Edit()
	defer edit.Close()
	if err := run.all(edit); err != nil {
		var last *fromError
		if errors.As(err, &last) {
			return nil, last // it says of which workbook it is
		}
		return nil, fmt.Errorf("%s: %w", o.In, err)
	}
	run.Report.Unchanged = len(edit.Changed()) == 0
	if st, err := os.Stat(to.Path); err == nil && disk.OtherNames(st) && !run.Report.Unchanged {
		run.Report.Findings = append(run.Report.Findings, book.Finding{Rule: "hard link", Level: book.LevelWarning, Cell: filepath.Base(to.Path),
			What: "the file has a second name on the disk (a hard link), which keeps the old workbook", Fix: "link it anew"})
	}
	if o.DryRun || o.InPlace && run.Report.Unchanged {
		return run.Report, nil
	}
	if err := b.SaveEdit(to, edit); err != nil {
		return nil, err
	}
	return run.Report, nil
}

// Run is one run: a workbook read, and its order worked out.
type Run struct {
	*assumptions.Sheet
	ctx    context.Context
	o      PriceOptions
	Report *Report
	watch  Observer
	Made   struct { // titles that this run gives our sheets
		Assumptions, Workings string
		All                   []string
	}
	Unfolded []int                // rows of groups of Workings that are not folded
	keepRows bool                 // the order keeps its joints
	last     *assumptions.Earlier // whose rates are taken
	total    int
	done     int
}

// newPricing makes ready for a run.
func newRun(ctx context.Context, b *book.Book, o PriceOptions, watch Observer) *Run {
	progress.At(ctx, "reading the workbook")
	r := &Run{ctx: ctx, o: o, Report: &Report{Input: o.In}, watch: watch}
	r.Sheet = &assumptions.Sheet{
		Log: logbook.Log{
			Ledger: account.New(&joints.Lists{Book: b, Changed: joints.ChangedFigures{}, Watch: watch, Next: r.next, Refill: o.Refill}),
			Stamp:  logbook.Stamp{Date: o.Date, By: o.By, Version: o.Version},
		},
		Loaded: map[*model.Scope]int{},
	}
	return r
}

// observe has somebody else watch the run.
func (r *Run) observe(watch Observer) { r.watch, r.Lists.Watch = watch, watch }

func (r *Run) all(e *opc.Edit) error {
	if err := r.understand(); err != nil {
		return err
	}
	if err := r.FillLists(e); err != nil {
		return err
	}
	progress.At(r.ctx, "adding up the order")
	if err := r.Account(); err != nil {
		return err
	}
	r.taken()
	r.watch.Closes(r)
	faults, err := r.Order.Finish(len(r.All))
	if err != nil {
		return err
	}
	r.tellFaults(faults)
	if err := r.tellChanged(); err != nil {
		return err
	}
	if err := r.ownSheets(e); err != nil {
		return err
	}
	r.sum()
	return r.StillTheSame()
}

// understand reads all that comes before the joint rows.
func (r *Run) understand() error {
	if lock := disk.LockOf(r.o.In); lock != "" {
		r.Note(book.LevelWarning, book.FindOpenElsewhere, filepath.Base(r.o.In), "the workbook is open in a spreadsheet program; what it has not saved is not priced", "save it there, and price again")
	}
	if r.Workbook.AsDisplayed {
		r.Note(book.LevelError, book.FindAsDisplayed, "the workbook", "the spreadsheet program is told to work with numbers as they are shown, rounded; its sums will not be those that are priced", "set it to full precision there, and price again")
	}
	if r.Workbook.CalcMode == "manual" {
		r.Note(book.LevelWarning, book.FindByHand, "the workbook", "the spreadsheet program is told not to work out anew by itself; after a change it shows old figures", "set calculation to automatic there")
	}
	if err := r.ReadOwn(); err != nil {
		return err
	}
	if r.AssumptionsGone() {
		return errors.New("the sheet Assumptions, with the shop's rates, is gone from a workbook that was priced; put it back from an earlier copy, or, to begin again with the rates as shipped, run seamtally clear, delete the calculated columns and price the rest")
	}
	if err := r.Settle(r.o.Settle); err != nil {
		return err
	}
	if err := r.openFrom(); err != nil {
		return err
	}
	if err := r.Find(); err != nil {
		return err
	}
	r.Styles.Avoid(r.Formats)
	if len(r.All) == 0 {
		return fmt.Errorf("no joint list is found: no sheet has a row of headings with an outside diameter and a wall; head the columns, for example, OD (in) and Wall (in)%s", r.NearestList())
	}
	sys, ok := r.OwnSystem()
	if !ok {
		sys = r.System()
	}
	var err error
	if r.Model, err = r.o.model(sys); err != nil {
		return err
	}
	if err := r.sameUnits(sys); err != nil {
		return err
	}
	r.Fingerprint = r.Model.Fingerprint()
	if r.Own.Assumptions == "" {
		r.Values = compute.Defaults(r.Model)
		r.take()
	} else if err = r.Load(); err != nil {
		return err
	} else if err = r.TellOutdated(); err != nil {
		return err
	}
	if r.o.Set != nil {
		if r.Own.Assumptions == "" {
			return errors.New("it was never priced, and has no assumptions to write into; price it first")
		}
		if err := r.TypeIn(r.o.Set); err != nil {
			return err
		}
	}
	if r.PartsNone {
		r.MadeNone = r.Values.SettleParts(settling.None)
	}
	if err := bid.Choose(r.Book, r.o.With); err != nil {
		return err
	}
	if err := r.LinkCars(); err != nil {
		return err
	}
	for _, l := range r.All {
		joints.Places(&r.Own, l, r.Model)
		if err := l.Place(r.Model); err != nil {
			return err
		}
		r.total += l.Info.Rows
	}
	r.keepRows = r.keepRows || r.total <= mostKept || len(bid.Chosen(r.Book)) > 0
	r.watch.Opens(r)
	return r.Open(r.keepRows)
}

// next counts a row, and says from time to time whether the run is to end.
func (r *Run) next() error {
	r.done++
	if r.done%500 == 0 {
		progress.Of(r.ctx, "rows", r.done, r.total)
	}
	if r.done%StopEvery == 1 {
		return r.ctx.Err()
	}
	return nil
}

// StopEvery is how many rows go by between two looks at whether to stop.
const StopEvery = 64

// tellFaults reports what could not be worked out outside the lists.
func (r *Run) tellFaults(faults []compute.Fault) {
	for _, f := range faults {
		where := f.Quantity.Scope.Title
		if f.Row > 0 {
			where = fmt.Sprintf("%s, line %d", where, f.Row)
		}
		r.Fails(book.CheckUnpriced, "no value", "Assumptions", fmt.Sprintf("%s: %s cannot be worked out", where, f.Quantity.Heading), "check the values of that line")
	}
}

// sum fills the report.
func (r *Run) sum() {
	rep := r.Report
	rep.System, rep.Units = r.Model.System, map[string]string{}
	for _, s := range append(append([]*model.Scope{r.Model.Line}, r.Model.Summary...), r.Model.OrderOf) {
		for _, q := range s.Quantities {
			if !q.IsText() && !q.Inner() {
				rep.Units[q.Key] = model.UnitName(q)
			}
		}
	}
	for _, l := range r.All {
		rep.Read, rep.Priced, rep.LeftOut = rep.Read+l.Rows.Read, rep.Priced+l.Rows.Priced, rep.LeftOut+l.Rows.LeftOut
	}
	rep.Currency = r.Currency()
	for _, s := range r.Model.Summary {
		if s.Name != "cars" {
			continue
		}
		name := s.Of.Quantity("name")
		for _, f := range r.Values.Rows(s).Frames {
			row := r.Values.Rows(s.Of).Frames[int(f.Num[0])-1]
			rep.Cars = append(rep.Cars, CarReport{Car: name.Text(row), Ordered: s.Quantity("car_qty").Num(f), Figures: s.Figures(f)})
		}
	}
	rep.Order = r.Model.OrderOf.Figures(r.Values.Order)
	rep.Findings = r.Findings
}
