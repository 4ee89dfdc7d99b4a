package tell

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"seamtally/compute/floor"
	"seamtally/sheets"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/audit"
	"seamtally/sheets/book"
	"seamtally/sheets/compare"
	"seamtally/sheets/explain"
	"seamtally/sheets/logbook"
	"seamtally/sheets/offer"
	"seamtally/sheets/outcome"
	"seamtally/sheets/timesheet"
	"seamtally/sheets/traveller"
)

func wall(cell, what, fix string) book.Finding {
	return book.Finding{Cell: cell, Level: book.LevelError, What: what, Fix: fix, Rule: "wall"}
}

func told(t *testing.T, v Voice, r *sheets.Report) (out, talk string) {
	t.Helper()
	var o, e bytes.Buffer
	v.Out, v.Err = &o, &e
	require.NoError(t, v.Priced(r))
	return o.String(), e.String()
}

// An invented order with one finding of each kind.
func oddOrder() *sheets.Report {
	return &sheets.Report{
		Input: "books/order.xlsx", Output: "books/order-priced.xlsx",
		Read: 68, Priced: 66, LeftOut: 2,
		Verdict: sheets.Verdict{Reasons: []sheets.Reason{{What: "Rows left out", Count: 2, Cell: "Coupe!F14", More: 1, Found: `wall is text "1,2"`, Fix: "write 1.2"}}},
		Findings: []book.Finding{
			{Cell: "Coupe!C1", Level: book.LevelNote, What: `"O.D." is read as od`},
			{Cell: "Coupe!G5", Level: book.LevelWarning, What: "gap is over half the wall", Fix: "check it", Rule: "gap"},
			wall("Coupe!F14", `wall is text "1,2"`, "write 1.2"),
			{Cell: "Van!G9", Level: book.LevelWarning, What: "gap is over half the wall", Fix: "check it", Rule: "gap"},
			{Cell: "Van!B3", Level: book.LevelError, What: "kind \"bt\" is not known", Fix: `write "butt"`, Rule: "kind"},
		},
	}
}

func TestTalkIsInOrderOfWeight(t *testing.T) {
	_, talk := told(t, Voice{}, oddOrder())
	assert.Equal(t, `order.xlsx:Coupe!F14: wall is text "1,2"; write 1.2
order.xlsx:Van!B3: kind "bt" is not known; write "butt"
order.xlsx:Coupe!G5 and 1 more: warning: gap is over half the wall; check it
order.xlsx:Coupe!C1: note: "O.D." is read as od
rows: 68 read, 66 priced, 2 left out
INCOMPLETE: 1 reason, at the head of the table
wrote books/order-priced.xlsx
`, talk)
}

// What has changed since the last run is one line, however much it is.
func TestTalkOfWhatTheLogSays(t *testing.T) {
	r := &sheets.Report{Input: "order.xlsx", Output: "order.xlsx", Read: 1, Priced: 1, Verdict: sheets.Verdict{Complete: true}}
	for want, logged := range map[string][]string{
		"":                                  {logbook.FirstPriced},
		"logged: shop_rate 95 -> 110 $/h\n": {"shop_rate 95 -> 110 $/h"},
		"logged: a; b; c\n":                 {"a", "b", "c"},
		"logged: a; b; c ; and 2 more, in the log on the assumptions sheet\n": {"a", "b", "c\x1b", "d", "e"},
	} {
		r.Logged = logged
		_, talk := told(t, Voice{}, r)
		assert.Equal(t, "rows: 1 read, 1 priced, 0 left out\n"+want+"wrote order.xlsx\n", talk)
		_, talk = told(t, Voice{Quiet: true}, r)
		assert.Empty(t, talk)
	}
}

// Who reads the table knows whether its hours are those of the shop's own jobs.
func TestTalkOfTheShopsOwnFactors(t *testing.T) {
	r := &sheets.Report{Input: "order.xlsx", Output: "order.xlsx", Read: 1, Priced: 1, Verdict: sheets.Verdict{Complete: true}, Factors: []string{"saw_factor 80 %", "weld_factor 120 %"}}
	_, talk := told(t, Voice{}, r)
	assert.Equal(t, "rows: 1 read, 1 priced, 0 left out\nfactors of the shop's own: saw_factor 80 %, weld_factor 120 %\nwrote order.xlsx\n", talk)
}

func TestQuietSaysOnlyWhatIsWrong(t *testing.T) {
	out, talk := told(t, Voice{Quiet: true}, oddOrder())
	assert.Empty(t, out)
	assert.Equal(t, `order.xlsx:Coupe!F14: wall is text "1,2"; write 1.2
order.xlsx:Van!B3: kind "bt" is not known; write "butt"
INCOMPLETE: 1 reason
  Coupe!F14 and 1 more: wall is text "1,2"; write 1.2 (rows left out: 2)
`, talk)
}

func TestGrouping(t *testing.T) {
	for name, c := range map[string]struct {
		found []book.Finding
		want  []string
	}{
		"equal ones are told once": {
			[]book.Finding{wall("A!F1", "wall is blank", "fill it in"), wall("A!F2", "wall is blank", "fill it in"), wall("A!F9", "wall is blank", "fill it in")},
			[]string{"b.xlsx:A!F1 and 2 more: wall is blank; fill it in"},
		},
		"one rule in other words is only like it": {
			[]book.Finding{wall("A!F1", `wall is text "x"`, "write a number"), wall("A!F2", `wall is text "y"`, "write a number")},
			[]string{`b.xlsx:A!F1 and 1 more like it: wall is text "x"; write a number`},
		},
		"other advice is another message": {
			[]book.Finding{wall("A!F1", `wall is text "1,2"`, "write 1.2"), wall("A!F2", `wall is text "0,9"`, "write 0.9"), wall("A!F3", `wall is text "1,2"`, "write 1.2")},
			[]string{`b.xlsx:A!F1 and 1 more: wall is text "1,2"; write 1.2`, `b.xlsx:A!F2: wall is text "0,9"; write 0.9`},
		},
		"without a rule the words decide": {
			[]book.Finding{
				{Cell: "A!B1", Level: book.LevelWarning, What: "twice"}, {Cell: "A!B2", Level: book.LevelWarning, What: "once"},
				{Cell: "A!B3", Level: book.LevelWarning, What: "twice"},
			},
			[]string{"b.xlsx:A!B1 and 1 more: warning: twice", "b.xlsx:A!B2: warning: once"},
		},
		"a rule as error and as warning is two": {
			[]book.Finding{
				{Cell: "A!B1", Level: book.LevelWarning, What: "odd", Rule: "x"},
				{Cell: "A!B2", Level: book.LevelError, What: "wrong", Rule: "x"},
			},
			[]string{"b.xlsx:A!B2: wrong", "b.xlsx:A!B1: warning: odd"},
		},
		"a finding of the whole book has no cell": {
			[]book.Finding{{Level: book.LevelNote, What: "book is in inches"}},
			[]string{"b.xlsx: note: book is in inches"},
		},
		"text of a cell cannot drive the terminal": {
			[]book.Finding{wall("A!F1", "wall is text \"\x1b[31m1\n\u202e2\"", "")},
			[]string{`b.xlsx:A!F1: wall is text " [31m1  2"`},
		},
	} {
		t.Run(name, func(t *testing.T) {
			assert.Equal(t, c.want, Voice{}.findings(&sheets.Report{Input: "b.xlsx", Findings: c.found}))
		})
	}
}

// Much advice of one kind is not all told, unless that is asked for; what is not
// told is counted.
func TestMuchAdvice(t *testing.T) {
	r := &sheets.Report{Input: "b.xlsx"}
	for i := range 3 * mostAdvice {
		r.Findings = append(r.Findings, wall(fmt.Sprintf("A!F%d", i+1), fmt.Sprintf(`wall is text "1,%d"`, i), fmt.Sprintf("write 1.%d", i)))
	}
	lines := Voice{}.findings(r)
	require.Len(t, lines, mostAdvice+1)
	assert.Equal(t, `b.xlsx:A!F9 and 15 more of the kind: wall is text "1,8"; what to do differs from cell to cell, see them with --all`, lines[mostAdvice])
	lines = Voice{All: true}.findings(r)
	require.Len(t, lines, len(r.Findings))
	assert.Equal(t, `b.xlsx:A!F24: wall is text "1,23"; write 1.23`, lines[23])
	r.Findings = append(r.Findings, r.Findings[0])
	assert.Len(t, Voice{All: true}.findings(r), len(r.Findings), "also those with equal advice")
}

// Grouping hides nothing: the counts in the lines add up to the findings.
func TestGroupingCountsEveryFinding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := rapid.SliceOf(rapid.Custom(func(t *rapid.T) book.Finding {
			return book.Finding{
				Cell:  "A!B" + fmt.Sprint(rapid.IntRange(1, 99).Draw(t, "row")),
				Level: rapid.SampledFrom([]book.Level{book.LevelError, book.LevelWarning, book.LevelNote}).Draw(t, "level"),
				Rule:  rapid.SampledFrom([]string{"", "a", "b"}).Draw(t, "rule"),
				What:  rapid.SampledFrom([]string{"x", "y"}).Draw(t, "what"),
			}
		})).Draw(t, "findings")
		counted := 0
		lines := Voice{}.findings(&sheets.Report{Input: "b.xlsx", Findings: all})
		for _, line := range lines {
			var row, more int
			if n, _ := fmt.Sscanf(line, "b.xlsx:A!B%d and %d more", &row, &more); n == 0 {
				t.Fatalf("no place in %q", line)
			}
			counted += 1 + more
		}
		if counted != len(all) {
			t.Fatalf("%d findings, %d told", len(all), counted)
		}
	})
}

func TestTheLastLineNamesTheFile(t *testing.T) {
	book := func(out string, unchanged bool) *sheets.Report {
		return &sheets.Report{Input: "b.xlsx", Output: out, Unchanged: unchanged, Verdict: sheets.Verdict{Complete: true}, Read: 1, Priced: 1}
	}
	for name, c := range map[string]struct {
		voice Voice
		r     *sheets.Report
		want  string
	}{
		"written":              {Voice{}, book("c.xlsx", false), "wrote c.xlsx"},
		"written, the same":    {Voice{}, book("c.xlsx", true), "wrote c.xlsx, the same as b.xlsx"},
		"in place, nothing":    {Voice{}, book("./b.xlsx", true), "./b.xlsx is up to date; left as it was"},
		"in place":             {Voice{}, book("b.xlsx", false), "wrote b.xlsx"},
		"dry run":              {Voice{DryRun: true}, book("c.xlsx", false), "dry run: nothing written; it would be c.xlsx"},
		"dry run, same bytes":  {Voice{DryRun: true}, book("b.xlsx", true), "dry run: nothing written; it would be b.xlsx"},
		"name of many columns": {Voice{}, book("a\tb.xlsx", false), "wrote a b.xlsx"},
	} {
		t.Run(name, func(t *testing.T) {
			_, talk := told(t, c.voice, c.r)
			assert.Equal(t, "rows: 1 read, 1 priced, 0 left out\n"+c.want+"\n", talk)
		})
	}
}

// An incomplete order says why, whatever is told of it: where, what, what to do.
func TestIncompleteSaysWhy(t *testing.T) {
	r := &sheets.Report{Input: "b.xlsx", Read: 3, Priced: 3, Verdict: sheets.Verdict{Reasons: []sheets.Reason{
		{Check: "a", What: "Rows left out", Count: 3, Cell: "Coupe!F14", More: 2, Found: "wall is missing", Fix: "type it"},
		{Check: "b", What: "Cars unpriced", Count: math.NaN(), Cell: "Summary!C40", Fix: "price again"},
		{Check: "c", What: "Cost astray", Count: 0.1, Fix: "clear it"},
	}}}
	want := `INCOMPLETE: 3 reasons
  Coupe!F14 and 2 more: wall is missing; type it (rows left out: 3)
  Summary!C40: cars unpriced: an error; price again
  cost astray: 0.1; clear it
`
	_, talk := told(t, Voice{Quiet: true}, r)
	assert.Equal(t, want, talk)
	out, talk := told(t, Voice{}, r)
	assert.Equal(t, want, out)
	assert.Contains(t, talk, "INCOMPLETE: 3 reasons, at the head of the table\n")
	out, talk = told(t, Voice{JSON: true}, r)
	assert.Contains(t, talk, want)
	var all struct {
		Complete bool
		Reasons  []struct {
			Check, Cell, Found string
			Count              *float64
			More               int
		}
	}
	require.NoError(t, json.Unmarshal([]byte(out), &all))
	require.Len(t, all.Reasons, 3)
	assert.False(t, all.Complete)
	assert.Equal(t, 3.0, *all.Reasons[0].Count)
	assert.Equal(t, 2, all.Reasons[0].More)
	assert.Nil(t, all.Reasons[1].Count)
	var e bytes.Buffer
	require.NoError(t, Voice{Err: &e}.Failed(&sheets.RefusedError{In: "b.xlsx", Not: "offered", Why: "the order is INCOMPLETE", Reasons: r.Reasons[2:]}))
	assert.Equal(t, "seamtally: b.xlsx: not offered: the order is INCOMPLETE; mend that, or add --draft for a copy that says so\n  cost astray: 0.1; clear it\n", e.String())
}

func TestStarted(t *testing.T) {
	var e bytes.Buffer
	require.NoError(t, Voice{Err: &e}.Started("order.xlsx"))
	assert.Equal(t, "wrote order.xlsx\nwrite the joints into it, one a row, then: seamtally price order.xlsx\n", e.String())
}

func TestStartedFrom(t *testing.T) {
	var e bytes.Buffer
	took := assumptions.Took{Assumptions: 11, Tables: []string{"Tube stock", "Alloys"}, Columns: 1}
	for i := range 10 {
		took.Values = append(took.Values, fmt.Sprintf("rate_%d 1 -> 2", i))
	}
	r := &sheets.Report{Taken: &sheets.Taken{File: "last\n.xlsx", Took: took}, Input: "order.xlsx",
		Findings: []book.Finding{{Cell: "Assumptions", Level: book.LevelWarning, What: "old", Fix: "look"}}}
	require.NoError(t, Voice{Err: &e}.StartedFrom("order.xlsx", r))
	assert.Equal(t, "order.xlsx:Assumptions: warning: old; look\n"+
		"taken from last .xlsx: 11 assumptions, 2 tables, 1 settled column, 0 fields; rate_0 1 -> 2; rate_1 1 -> 2; rate_2 1 -> 2; rate_3 1 -> 2; "+
		"rate_4 1 -> 2; rate_5 1 -> 2; rate_6 1 -> 2; rate_7 1 -> 2; and 2 more values, marked on the assumptions sheet; the tables Tube stock, Alloys\n"+
		"wrote order.xlsx\nwrite the joints into it, one a row, then: seamtally price --in-place order.xlsx\n", e.String())
}

func TestFailed(t *testing.T) {
	for want, err := range map[string]error{
		"seamtally: a.xlsx is no workbook; save it as .xlsx\n": errors.New("a.xlsx is no workbook; save it as .xlsx"),
		"seamtally: stopped; nothing was written\n":            fmt.Errorf("reading: %w", context.Canceled),
		"seamtally: two lines\n":                               errors.New("two\nlines"),

		"seamtally: a.xlsx: there is no such file; check the name and the folder\n":                    &fs.PathError{Op: "open", Path: "a.xlsx", Err: fs.ErrNotExist},
		"seamtally: a.xlsx: not allowed; check whose file it is, and that no other program holds it\n": &fs.PathError{Op: "open", Path: "a.xlsx", Err: fs.ErrPermission},
		"seamtally: a.xlsx: no space left on device; check the file and the disk\n":                    &fs.PathError{Op: "write", Path: "a.xlsx", Err: syscall.ENOSPC},
		"seamtally: a.xlsx is held: open a.xlsx: file does not exist\n":                                fmt.Errorf("a.xlsx is held: %w", &fs.PathError{Op: "open", Path: "a.xlsx", Err: fs.ErrNotExist}),
	} {
		var e bytes.Buffer
		require.NoError(t, Voice{Err: &e}.Failed(err))
		assert.Equal(t, want, e.String())
	}
}

func TestAWriterThatFailsIsTold(t *testing.T) {
	v := Voice{Out: full{}, Err: full{}}
	assert.ErrorIs(t, v.Priced(oddOrder()), errFull)
	v.JSON = true
	assert.ErrorIs(t, v.Priced(oddOrder()), errFull)
}

var errFull = errors.New("disk full")

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }

// What a terminal obeys (ECMA-48: escape, bell and return among them), what
// turns the direction of writing, and what ends a line, all out of cells, reach
// no screen: in words a blank stands for each, and JSON spells them.
func TestNothingIsObeyed(t *testing.T) {
	const odd = "a\x1b[31mb\x07c\rd\u009b2Je\u202ef\u2028g\x7fh\u200bi\U000E0001j\nk"
	const seen = "a [31mb c d 2Je f g h i j k"
	check := &sheets.CheckReport{
		Report: sheets.Report{Input: odd, Findings: []book.Finding{{Cell: odd, What: odd, Fix: odd, Level: book.LevelError}}},
		Lists: []sheets.ListReport{{Sheet: odd, Columns: []sheets.ColumnReport{{Heading: odd, Input: "od", Unit: odd, From: odd}},
			Unread: []sheets.ColumnReport{{Heading: odd}}, Missing: []sheets.DefaultReport{{Input: "kind", Value: odd}},
			Passed: []sheets.PassedReport{{Row: 3, Why: odd}}}},
		Cars: odd, Others: []string{odd},
	}
	x := &explain.Explanation{Input: odd, Of: explain.OfJoint, Name: odd, Car: odd, Sheet: odd, Notes: []string{odd},
		Groups: []explain.Group{{Title: odd, Figures: []explain.Figure{{Key: "od", Heading: odd, Shown: odd, Working: explain.Working{From: odd, Basis: odd}, Line: odd,
			Made: explain.Made{Sums: []explain.Sum{{Of: odd, Shown: odd, Parts: []explain.Part{{Name: odd, Shown: odd}}}, {Of: odd}}}}}}}}
	audit := &audit.Report{Input: odd, Currency: odd, Faults: []audit.Fault{{Cell: odd, Rule: odd, What: odd, Found: odd, Expected: odd, Fix: odd}}}
	bridge := &compare.Report{Old: odd, New: odd, Currency: odd, Total: compare.Total{Heading: odd, Unit: "$"}, Others: []compare.Total{{Heading: odd, Unit: odd}},
		Changes: []compare.Change{{Name: odd, Items: []compare.Item{{Name: odd, Old: odd, New: odd}}}}, NoEffect: []compare.Change{{Name: odd}}, Models: [2]string{odd, "b"}}
	offer := &offer.Report{Input: odd, Output: odd, Currency: odd, Cars: []offer.Car{{Car: odd}}, Verdict: sheets.Verdict{Reasons: []sheets.Reason{{What: odd, Found: odd, Cell: odd, Fix: odd}}}, Extra: 1, ExtraWhat: odd}
	travellers := &traveller.Report{Input: odd, Output: odd, Cars: []traveller.Car{{Name: odd}}, Bare: []string{odd}, NoReason: []traveller.Place{{Joint: odd, Cell: odd}}, Hidden: []traveller.Place{{Joint: odd, Cell: odd, What: odd}}}
	came := &outcome.Report{Quote: odd, Currency: odd, GasUnit: odd, Cars: []floor.Done{{Name: odd}}, Findings: []book.Finding{{Cell: odd, What: odd, Fix: odd}}}
	logs := &timesheet.Report{Input: odd, Output: odd, Cars: []timesheet.Cars{{Car: odd}}, Verdict: sheets.Verdict{Reasons: []sheets.Reason{{What: odd, Found: odd, Cell: odd, Fix: odd}}}}
	cleared := &sheets.ClearReport{Input: odd, Output: odd, Sheets: []string{odd}}
	for _, asJSON := range []bool{false, true} {
		var b bytes.Buffer
		v := Voice{Out: &b, Err: &b, JSON: asJSON}
		for what, tell := range map[string]func() error{
			"check":   func() error { return v.Checked(check) },
			"explain": func() error { return v.Explained(x) },
			"audit":   func() error { return v.Audited(audit) },
			"compare": func() error { return v.Compared(bridge) },
			"offer":   func() error { return v.Offered(offer) },
			"travel":  func() error { return v.Travelled(travellers) },
			"outcome": func() error { return v.Outcome(came) },
			"logs":    func() error { return v.Logs(logs) },
			"clear":   func() error { return v.Cleared(cleared) },
			"price":   func() error { return v.Priced(&check.Report) },
			"failed":  func() error { return v.Failed(errors.New(odd)) },
		} {
			b.Reset()
			require.NoError(t, tell(), what)
			assert.False(t, strings.ContainsFunc(b.String(), hidden), "%s: %q", what, b.String())
			if asJSON && strings.HasPrefix(b.String(), "{") {
				var same map[string]any
				require.NoError(t, json.NewDecoder(&b).Decode(&same), what)
				if old, two := same["old"].(map[string]any); two {
					same = old
				}
				assert.Equal(t, odd, same["input"], what)
			} else if !asJSON {
				assert.Contains(t, strings.Join(strings.Fields(b.String()), " "), seen, what)
			}
		}
	}
}
