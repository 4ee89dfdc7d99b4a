package schedule

import (
	"cmp"

	"seamtally/compute/backlog"
	"seamtally/compute/model"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/bid/layout"
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
	f := layout.Unseen(beside, book.Kind{Key: "schedule"})
	before := len(s.Findings)
	if _, err := scheduled(f); err != nil {
		return nil, err
	}
	if err := f.Bid.Work(); err != nil {
		return nil, err
	}
	of := func(scope string, row int, key string) float64 {
		sc := f.Scoped(scope)
		return model.ZeroIfBlank(sc.Quantity(key).Num(f.Bid.Rows(sc)[row].Frame))
	}
	t := &Timetable{
		Order: backlog.Order{Weekdays: f.Single("days_per_week"), DayHours: of("schedule_shop", 0, "day_hours"), Hours: of("schedule_shop", 0, "hours_all")},
		Start: f.Single("start_date"), Left: of("schedule_shop", 0, "weeks_left"),
		First: of("schedule_end", 0, "first_car"), Last: of("schedule_end", 0, "end_day"),
		Findings: s.Findings[before:],
	}
	for i := range f.Bid.Rows(f.Scoped("schedule_weeks")) {
		w := backlog.Part{Monday: of("schedule_weeks", i, "monday")}
		for _, stage := range Stages() {
			w.Hours = append(w.Hours, of("schedule_weeks", i, stage))
		}
		t.Weeks = append(t.Weeks, w)
	}
	for i := range f.Bid.Rows(f.Scoped("schedule_shut")) {
		t.Shut = append(t.Shut, [2]float64{of("schedule_shut", i, "shut_from"), of("schedule_shut", i, "till")})
	}
	return t, nil
}
