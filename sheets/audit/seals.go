package audit

import (
	"fmt"
	"maps"
	"slices"

	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// sealFaults looks for what was touched since the last run that no figure comes
// from, by what that run has recorded.
func (a *auditor) sealFaults(at *assumptions.Places) error {
	if err := a.wordFaults(); err != nil {
		return err
	}
	a.logLineFaults()
	a.rangeFaults(at)
	a.basisFaults(at)
	a.moneyFault(at)
	a.choiceFault()
	return nil
}

// wordFaults tells of words of the program's on our sheets that were changed:
// labels, headings, values that are words.
func (a *auditor) wordFaults() error {
	for _, s := range a.Sealing {
		was := a.SealOf(s.Key)
		if !a.Own.IsOurs(s.Title) || a.byKey[misplacedKey+s.Title] != nil {
			continue
		}
		texts, err := a.TextsOn(s.Title)
		if err != nil {
			return err
		}
		groups, _ := assumptions.BrokenSeal(was, assumptions.Seal(s.Words, func(row int, c page.Cell) string { return texts[[2]int{row, c.Col}] }))
		rows := assumptions.SealedRows(s.Words)
		for _, g := range groups {
			for _, w := range rows[g] {
				for _, c := range w.Cells {
					have := texts[[2]int{w.Row, c.Col}]
					if have == c.Text {
						continue
					}
					f := Fault{
						Grade: Doubtful, Rule: RuleWordsChanged, Cell: s.Title + "!" + grid.Ref(w.Row, c.Col), What: "words of the program were changed since the last run",
						Found: fmt.Sprintf("%.60q", have), Expected: fmt.Sprintf("%.60q", c.Text), Fix: "see what they are to hide; write them back",
					}
					if have == "" {
						f.Found = "no words"
					}
					a.add("words "+f.Cell, f)
				}
			}
		}
	}
	return nil
}

// logLineFaults tells of lines of the log that are not what the run wrote that added
// them.
func (a *auditor) logLineFaults() {
	seals := assumptions.Pairs(a.SealOf(assumptions.SealLog))
	there := map[string]bool{}
	block, _ := a.BlockAt(book.NameLog)
	for _, l := range a.LoggedRuns() {
		no := fmt.Sprint(l.No)
		there[no] = true
		if !l.Holds(seals[no]) {
			a.add("log line "+no, Fault{
				Grade: Doubtful, Rule: RuleLogChanged, Cell: a.ref(l.Row, 1), What: "what the log has under " + no + " is not what the run wrote that added it",
				Fix: "compare it with a copy of the workbook from that time",
			})
		}
	}
	for _, no := range slices.Sorted(maps.Keys(seals)) {
		if !there[no] {
			a.add("log line "+no, Fault{
				Grade: Doubtful, Rule: RuleLogChanged, Cell: a.ref(max(block.Row1, 1), 1), What: "what the log had under " + no + " is gone; no line is ever taken out",
				Found: "no such line", Fix: "take it from a copy of the workbook from that time",
			})
		}
	}
}

// sealedPairs are the seals of one name as the record and as the workbook has them;
// none where the record has none.
func (a *auditor) sealedPairs(name string) (was, now map[string]string) {
	text := a.SealOf(name)
	for _, s := range a.Now {
		if s.What == assumptions.StateSeal && s.Name == name {
			return assumptions.Pairs(text), assumptions.Pairs(s.Value)
		}
	}
	return nil, nil
}

// rangeFaults tells of usual ranges that were changed since the last run.
func (a *auditor) rangeFaults(at *assumptions.Places) {
	was, now := a.sealedPairs(assumptions.SealRanges)
	for _, key := range slices.Sorted(maps.Keys(was)) {
		q := a.Model.Singles.Quantity(key)
		if q == nil || now[key] == "" || was[key] == now[key] {
			continue
		}
		a.add("range "+key, Fault{
			Grade: Doubtful, Rule: RuleRangeChanged, Cell: a.ref(at.Key[key], book.AssumeLow),
			What:  "the usual range of " + key + " was changed since the last run; a value outside it is questioned, and one inside is not",
			Found: now[key], Expected: was[key], Fix: "see that the change is meant, and that the basis says why",
		})
	}
}

// basisFaults tells of bases that were changed or taken out since the last run.
func (a *auditor) basisFaults(at *assumptions.Places) {
	was, now := a.sealedPairs(assumptions.SealBases)
	for _, key := range slices.Sorted(maps.Keys(was)) {
		cell, ok := at.BasisAt(a.Model, key)
		if !ok || was[key] == now[key] || a.byKey["basis "+key] != nil {
			continue
		}
		f := Fault{
			Grade: WorthKnowing, Rule: RuleBasisChanged, Cell: a.Own.Assumptions + "!" + cell,
			What: "the basis, or how far it is to be trusted, was changed since the last run", Fix: "see that it says where the value comes from",
		}
		if now[key] == "" {
			f.What, f.Found = "the basis was taken out since the last run", "nothing"
		}
		a.add("basis "+key, f)
	}
}

// moneyFault tells of another sign for money: no amount is converted with it.
func (a *auditor) moneyFault(at *assumptions.Places) {
	was, now := a.SealOf(assumptions.SealMoney), a.Currency()
	if was == assumptions.NoSeal || was == now {
		return
	}
	a.add("sign of money", Fault{
		Grade: Doubtful, Rule: RuleMoneyChanged, Cell: a.ref(at.Key[book.HeadPrefix+"currency"], book.AssumeValue),
		What: "the sign of money was changed since the last run; no amount was converted", Found: now, Expected: was, Fix: "see that every rate is in that money",
	})
}

// ref is a cell of Assumptions.
func (a *auditor) ref(row, col int) string { return a.Own.Assumptions + "!" + grid.Ref(row, col) }
