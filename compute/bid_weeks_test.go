package compute_test

import (
	"github.com/stretchr/testify/require"

	"seamtally/compute/model"
)

// weeksByHand: a car of 26 h that has other work alone, and two cars of 20 h, on eight
// floor hours a day: done after 3.25 days and after 8.25. Of the second, at factors of
// 1.5, 2 and 3, welding has 3*(1+0.5) = 4.5 h that the machine paces and
// 3*(0.25+0.75) = 3 h that practice brings to 2.7; the bench has 7-4.5 = 2.5 h and
// 2*(1+0.5+1.5)-2.5 = 3.5 h, which becomes 3.15; the saw 1.5*2*0.9 = 2.7; other work
// 1*0.9+0.4+0.6 = 1.9. That is 17.45 h, of which a day has eight parts. Specs that take
// no hours have none, or all of a day at the one stage that they have. 25 November 2026
// is a Wednesday (the calendar of the standard library).
func weeksByHand(t require.TestingT) {
	rates := map[string]float64{"saw": 2.7 * 8 / 17.45, "bench": 5.65 * 8 / 17.45, "weld": 7.2 * 8 / 17.45, "other": 1.9 * 8 / 17.45}
	stages := func(second, first float64) map[string]any { // of so many days of either spec
		out, all := map[string]any{}, 0.0
		for stage, rate := range rates {
			x := second * rate
			if stage == "other" {
				x += first * 8
			}
			out[stage] = x
			all += x
		}
		out["week_hours"] = all
		return out
	}
	wednesday := day(t, "2026-11-25")
	for _, c := range []struct {
		start, week float64
		shut        [][2]float64
		// at the end of each week: the days worked so far; those of the second spec and
		// of the first in it; the days lost so far
		worked, second, first, lost []float64
	}{
		{wednesday, 5, nil, []float64{3, 8, 13, 18}, []float64{0, 4.75, 0.25, 0}, []float64{3, 0.25, 0, 0}, []float64{0, 0, 0, 0}},
		{wednesday + 3, 5, nil, []float64{5, 10}, []float64{1.75, 3.25}, []float64{3.25, 0}, []float64{0, 0}},             // a Saturday: the week after it
		{wednesday + 4.995, 5, nil, []float64{5, 10}, []float64{1.75, 3.25}, []float64{3.25, 0}, []float64{0, 0}},         // late on a Sunday
		{wednesday - 2, 5, nil, []float64{5, 10}, []float64{1.75, 3.25}, []float64{3.25, 0}, []float64{0, 0}},             // a Monday
		{wednesday - 3, 7, nil, []float64{1, 8, 15}, []float64{0, 4.75, 0.25}, []float64{1, 2.25, 0}, []float64{0, 0, 0}}, // a Sunday that is worked
		{wednesday, 7, nil, []float64{5, 12}, []float64{1.75, 3.25}, []float64{3.25, 0}, []float64{0, 0}},
		{wednesday, 5, [][2]float64{{wednesday - 7, wednesday - 6}, {wednesday + 1, wednesday + 2}, {wednesday + 5, wednesday + 11}, {wednesday + 14, 0}},
			[]float64{1, 1, 5, 10}, []float64{0, 0, 1.75, 3.25}, []float64{1, 0, 2.25, 0}, []float64{2, 7, 8, 8}},
		{0, 5, nil, []float64{5, 10}, []float64{1.75, 3.25}, []float64{3.25, 0}, []float64{0, 0}},
		{0, 5, [][2]float64{{wednesday, wednesday + 2}}, []float64{5, 10}, []float64{1.75, 3.25}, []float64{3.25, 0}, []float64{0, 0}},
	} {
		o := tellOrder(t, model.US)
		o.assume(row{"hours_per_day": 10, "welders": 2, "utilisation": 0.4, "days_per_week": c.week, "start_date": c.start, "saw_factor": 1.5, "bench_factor": 2, "weld_factor": 3})
		o.order(row{"order_hours": 70, "order_cars": 4})
		s := o.sheet("schedule")
		for i, r := range []row{
			{"car_qty": 1, "car_hours": 26, "parts_plain": 3},
			{"car_qty": 2, "car_hours": 20, "learning": 0.9, "car_saw": 2, "car_fit": 1, "car_tacks": 0.5, "car_rigging": 1.5, "car_arc": 1, "car_tail": 0.5, "car_regrip": 0.25, "car_tending": 0.75, "car_paced": 7, "parts_learn": 1, "parts_plain": 0.4, "once_hours": 0.6},
			{}, {"car_saw": 1}, {"car_fit": 1}, {"car_rigging": 1, "car_paced": 2}, {"car_tending": 1}, {"car_arc": 1, "car_paced": 3},
		} {
			for _, key := range []string{"car_hours", "car_saw", "car_fit", "car_tacks", "car_rigging", "car_arc", "car_tail", "car_regrip", "car_tending", "car_paced", "parts_learn", "parts_plain", "once_hours"} {
				if r[key] == nil {
					r[key] = 0
				}
			}
			if r["learning"] == nil {
				r["learning"], r["car_qty"] = 1, 1
			}
			o.table("cars", i+1, row{"name": string(rune('A' + i))})
			r["car_no"] = i + 1
			beside := o.summary("cars", o.v, r)
			s.add("schedule_cars", nil, beside, row{})
			s.add("schedule_stages", nil, beside, row{})
		}
		for _, times := range c.shut {
			s.add("schedule_shut", nil, nil, row{"shut_from": times[0], "shut_to": times[1]})
		}
		for i := range c.worked {
			s.add("schedule_weeks", nil, nil, row{"week_no": i + 1})
		}
		shop := s.m.BidScope("schedule_shop")
		s.put(shop, s.b.Rows(shop)[0].Frame, row{"weeks_left": 0, "shut_now": 0})
		require.NoError(t, s.b.Work())
		s.shows("schedule_stages", 1, map[string]any{
			"spec": "B", "weld_paced": 4.5, "bench_paced": 2.5, "bench_hand": 3.5, "saw_each": 2.7, "bench_each": 5.65, "weld_each": 7.2, "other_each": 1.9, "stages_each": 17.45, "day_part": 8 / 17.45,
			"saw_day": rates["saw"], "bench_day": rates["bench"], "weld_day": rates["weld"], "other_day": rates["other"],
		})
		for i, stage := range map[int]string{0: "other", 2: "", 3: "saw", 4: "bench", 5: "bench", 6: "weld", 7: "weld"} {
			want := map[string]any{"saw_day": 0, "bench_day": 0, "weld_day": 0, "other_day": 0}
			if stage != "" {
				want[stage+"_day"] = 8
			} else {
				want["day_part"] = 0
			}
			s.shows("schedule_stages", i, want)
		}
		hours := 0.0
		for i, worked := range c.worked {
			want := stages(c.second[i], c.first[i])
			hours += want["week_hours"].(float64)
			want["days_by"], want["shut_by"] = worked, c.lost[i]
			if c.start == 0 {
				want["monday"] = none{}
			} else {
				monday := day(t, "2026-11-23") + 7*float64(i)
				switch {
				case c.start > wednesday+2:
					monday += 7
				case c.start < wednesday-2:
					monday -= 7
				}
				want["monday"], want["next_monday"], want["upto"] = monday, monday+7, worked+c.lost[i]
			}
			s.shows("schedule_weeks", i, want)
		}
		s.shows("schedule_weeks_checks", 0, map[string]any{"weeks_agree_here": hours, "weeks_agree_there": 70, "weeks_agree": hours - 70})
		s.put(shop, s.b.Rows(shop)[0].Frame, row{"weeks_left": 1})
		require.NoError(t, s.b.Work())
		s.shows("schedule_weeks_checks", 0, map[string]any{"weeks_agree_here": 70})
	}
}
