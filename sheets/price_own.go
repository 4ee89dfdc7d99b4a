package sheets

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/bid"
	"seamtally/sheets/bid/layout"
	"seamtally/sheets/book"
	"seamtally/sheets/front"
	"seamtally/sheets/logbook"
	"seamtally/sheets/page"
	"seamtally/sheets/part/follow"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/progress"
	"seamtally/sheets/workings"
)

// ownSheets writes Assumptions, Workings and Summary, and what the workbook says of
// them.
func (r *Run) ownSheets(e *opc.Edit) error {
	assumeTitle := r.TitleFor(r.Own.Assumptions, book.AssumptionsTitle)
	workingsTitle := r.TitleFor(r.Own.Workings, book.WorkingsTitle)
	if r.Workbook.StructureLocked && r.Own.Assumptions == "" {
		r.Note(book.LevelNote, "locked structure", "the workbook", "its structure is locked; our sheets are added all the same, and it stays locked", "")
	}
	r.Made.Assumptions, r.Made.Workings = assumeTitle, workingsTitle
	r.Record()
	r.Report.Logged, r.Report.Factors = r.Logged, r.OwnFactors()
	at, err := r.Place()
	if err != nil {
		return err
	}
	roles := r.Model.Roles
	for check, given := range map[string]*model.Quantity{
		book.CheckBeside: roles.Beside, book.CheckSheets: roles.UnsettledSheets, book.CheckColumns: roles.UnsettledColumns,
		book.CheckCars: roles.UnsettledCars, book.CheckInputs: roles.UnsettledInputs,
	} {
		r.Values.Find(given, float64(r.Unsettled[check]))
	}
	rounds := 0.0
	if r.Workbook.AsDisplayed {
		rounds = 1
	}
	r.Values.Find(roles.Rounded, rounds)
	if err := r.Found(at, assumeTitle); err != nil {
		return err
	}
	if err := r.tellPurges(at, assumeTitle); err != nil {
		return err
	}
	s, err := workings.New(r.Sheet, workingsTitle, assumeTitle, at, r.ReadOnly)
	if err != nil {
		return err
	}
	var bids []*layout.Laid
	if !r.ReadOnly || r.watch.Looks() { // else nobody looks at them
		if bids, err = bid.Lay(layout.Run{Ctx: r.ctx, Date: r.o.Date}, s); err != nil {
			return err
		}
	}
	progress.At(r.ctx, "our own sheets")
	n := 0
	for _, f := range bids {
		n += f.Failing()
		s.Bids = append(s.Bids, f.Kind.Key)
		if f.Told != "" {
			r.Report.SetUps = f.Told
		}
	}
	r.Values.Find(r.Model.Roles.Disagreeing, float64(n))
	r.Judge()
	r.Report.Verdict = r.judged(s)
	s.FoundAt = r.foundAt(s)
	work, err := s.Fill()
	if err != nil {
		return err
	}
	if err := r.seal(logbook.SealWorkings, work, s.Place, s.Words()); err != nil {
		return err
	}
	for n, row := range work.Rows {
		if row.Fold && !row.Hidden && row.Filled() {
			r.Unfolded = append(r.Unfolded, n)
		}
	}
	for _, f := range bids {
		if err := r.seal(f.Kind.Key, f.P, strconv.Itoa, page.Rows{}); err != nil {
			return err
		}
	}
	first, err := r.front(s)
	if err != nil {
		return err
	}
	assume, err := r.Plan(assumeTitle, at)
	if err != nil {
		return err
	}
	var patch workbook.Changes
	if s.Anew {
		if err := r.follow(e, s.Gone(), s.P, &patch); err != nil {
			return err
		}
		patch.SetNames = append(patch.SetNames, r.PrintWhole(s.P)...)
	}
	for _, f := range bids {
		if f.Moved == nil {
			continue
		}
		if err := r.follow(e, *f.Moved, f.P, &patch); err != nil {
			return err
		}
	}
	plans := []*page.Plan{work, assume}
	if first != nil {
		plans = slices.Insert(plans, 0, first)
		patch.SetNames = append(patch.SetNames, r.PrintWhole(first)...)
	}
	for _, f := range bids {
		plans = append(plans, f.P)
		patch.SetNames = append(patch.SetNames, r.PrintWhole(f.P)...)
	}
	to := r.Target(r.own)
	to.SeeOnly, to.Errors = r.ReadOnly, r.Lenient
	for _, p := range plans {
		r.Made.All = append(r.Made.All, p.Title)
		added, names, err := p.Into(e, to)
		if err != nil {
			return err
		}
		patch.AddSheets = append(patch.AddSheets, added...)
		patch.SetNames = append(patch.SetNames, names...)
	}
	patch.SetNames = append(patch.SetNames, r.Names.Defined...)
	patch.SetNames = append(patch.SetNames, r.FilterNames...)
	patch.RemoveNames = append(patch.RemoveNames, r.NamesGone...)
	patch.SetNames = append(patch.SetNames, r.PrintLog(at)...)
	patch.FullCalcOnLoad = true
	return r.PutWorkbook(e, patch)
}

// follow has all that points at a sheet of ours follow its cells.
func (r *Run) follow(e *opc.Edit, gone grid.Moved, p *page.Plan, patch *workbook.Changes) error {
	own := map[string]bool{}
	for _, sheet := range r.Workbook.Sheets {
		own[sheet.PartName] = sheet.PartName != "" && r.Own.IsOurs(sheet.Name) && !strings.EqualFold(sheet.Name, r.Own.Assumptions)
	}
	names, lost, err := follow.Cells(r.Workbook, e, gone, func(part string) bool { return own[part] })
	if err != nil {
		return err
	}
	// What is printed goes by how long the sheet is, and the program's own names are set with it.
	isSet := func(name string) bool {
		return slices.ContainsFunc(r.Names.Defined, func(o workbook.DefinedName) bool { return strings.EqualFold(o.Name, name) })
	}
	for _, d := range names {
		if book.IsPrint(d.Name) && d.Sheet == r.Workbook.Sheet(p.Title) {
			continue
		}
		if d.Sheet >= 0 || !isSet(d.Name) {
			patch.SetNames = append(patch.SetNames, d)
		}
	}
	for _, l := range lost {
		if book.IsPrint(l.Where) || isSet(l.Where) {
			continue
		}
		r.Note(book.LevelWarning, "points at what is gone", l.Where, fmt.Sprintf("points at %s, and what stood there has no place of its own any more", l.Ref), "point it at the cell that is meant")
	}
	return nil
}

// front lays out the page that answers first; nil where it is not there and the
// workbook is only looked at.
func (r *Run) front(s *workings.Sheet) (*page.Plan, error) {
	have := r.Own.Bid[book.FrontKey]
	if r.ReadOnly && (have == "" || !r.watch.Looks()) {
		return nil, nil
	}
	title := book.SummaryTitle
	if strings.EqualFold(r.Own.Workings, title) { // an earlier version called Workings so
		title = book.OverviewTitle
	}
	p, err := front.Plan(s, r.TitleFor(have, title), have == "", r.toSettle(s))
	if err != nil {
		return nil, err
	}
	return p, r.seal(book.FrontKey, p, strconv.Itoa, page.Rows{})
}
