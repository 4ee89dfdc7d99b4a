package bid

import (
	"cmp"
	"math"

	"seamtally/compute"
	"seamtally/compute/backlog"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/workings"
)

// Stages are those that Schedule lists the hours of a week by, by their figures.
func Stages() []string { return []string{"saw", "bench", "weld", "other"} }

// Timetable is what Schedule says of an order, whether the workbook has that sheet
// or not. Days are counted as spreadsheets do.
type Timetable struct {
	backlog.Order
	Start       float64 // 0: no day is typed
	First, Last float64 // days on which the first car is done, and the last; 0 without a start
	Left        float64 // weeks after those listed
	Findings    []book.Finding
}

// TimetableOf works Schedule out for an order that is worked out, and lays out
// nothing. It may be asked once.
func TimetableOf(s *assumptions.Sheet) (*Timetable, error) {
	at, err := s.Place()
	if err != nil {
		return nil, err
	}
	beside := &workings.Sheet{Sheet: s, Assume: at, AssumeOn: cmp.Or(s.Own.Assumptions, book.AssumptionsTitle)} // which says where days shut stand
	f := &Laid{Sheet: s, s: beside, bid: compute.NewBid(s.Values, "schedule"), lines: map[*compute.Scope][]*bidRow{}, blocks: map[*compute.Scope]*bidBlock{}}
	before := len(s.Findings)
	if _, err := f.scheduled(); err != nil {
		return nil, err
	}
	if err := f.bid.Work(); err != nil {
		return nil, err
	}
	of := func(scope string, row int, key string) float64 {
		sc := f.scoped(scope)
		return compute.ZeroIfBlank(sc.Quantity(key).Num(f.bid.Rows(sc)[row].Frame))
	}
	t := &Timetable{
		Order: backlog.Order{Weekdays: f.single("days_per_week"), DayHours: of("schedule_shop", 0, "day_hours"), Hours: of("schedule_shop", 0, "hours_all")},
		Start: f.single("start_date"), Left: of("schedule_shop", 0, "weeks_left"),
		First: of("schedule_end", 0, "first_car"), Last: of("schedule_end", 0, "end_day"),
		Findings: s.Findings[before:],
	}
	for i := range f.bid.Rows(f.scoped("schedule_weeks")) {
		w := backlog.Part{Monday: of("schedule_weeks", i, "monday")}
		for _, stage := range Stages() {
			w.Hours = append(w.Hours, of("schedule_weeks", i, stage))
		}
		t.Weeks = append(t.Weeks, w)
	}
	for i := range f.bid.Rows(f.scoped("schedule_shut")) {
		t.Shut = append(t.Shut, [2]float64{of("schedule_shut", i, "shut_from"), of("schedule_shut", i, "till")})
	}
	return t, nil
}

// DrawnHours are the assumptions that move the hours of an order, as Range draws
// them, in the order of the model; and what works the hours out with others.
func DrawnHours(s *assumptions.Sheet) ([]backlog.Drawn, func() (*compute.Sweep, error), error) {
	at, err := s.Place()
	if err != nil {
		return nil, nil, err
	}
	r := &ranges{Laid: &Laid{Sheet: s, s: &workings.Sheet{Sheet: s, Assume: at}}}
	if err := r.choose(); err != nil {
		return nil, nil, err
	}
	used := map[*compute.Quantity]ranged{}
	for _, x := range r.used {
		used[x.q] = x
	}
	hours := s.Model.OrderOf.Quantity("order_hours")
	priced := hours.Num(s.Values.Order)
	var out []backlog.Drawn
	var varied []*compute.Quantity
	for _, q := range s.Model.Singles.Quantities {
		x, drawn := used[q]
		if drawn && math.Max(math.Abs(x.hours[0]-priced), math.Abs(x.hours[1]-priced)) > 1e-9*priced {
			out = append(out, backlog.Drawn{Quantity: q, Spread: x.spread, Time: ofTime(q)})
			varied = append(varied, q)
		}
	}
	lines := make([]*compute.Line, len(s.Joints))
	for i := range s.Joints {
		lines[i] = s.Joints[i].Line
	}
	return out, func() (*compute.Sweep, error) {
		return compute.NewSweep(s.Values, lines, varied, []*compute.Quantity{hours})
	}, nil
}
