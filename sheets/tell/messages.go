// Package tell says what a run did: a table or JSON for standard output, and
// talk for standard error. It works nothing out and writes no workbook.
package tell

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strings"
	"unicode"

	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/logbook"
	"seamtally/sheets/screen"
)

// Rules of the program's own messages:
//
//   - What was asked for goes to standard output, all talk to standard error;
//     what is piped has no colour and no breaks, and is the same from anywhere.
//     A terminal has lines wrapped, the file's name once above its lines, words of
//     severity in colour, and "error:" where a row is left out.
//   - One message, one line: where, what is the matter, a semicolon, what to do.
//     order.xlsx:Coupe!F14: wall is text "1,2"; write 1.2
//   - The place comes first and is one that can be searched for: file, sheet,
//     cell. What the shop typed is quoted as it stands.
//   - No capital at the start, no full stop at the end, no exclamation, no
//     "please", no blame. COMPLETE and INCOMPLETE are the only words in
//     capitals.
//   - A row that is left out has no word before it; "warning:" is for a row that
//     is priced all the same, "note:" for how something was understood.
//   - Messages with equal advice are told once, with a count; with --all each is
//     told. Errors come first, then warnings, then notes, each in the order of
//     the workbook.
//   - The last line names the file that was written, or says that none was.
//   - Text out of a workbook never reaches the terminal with its control
//     characters.

// Voice is where and how a run is told.
type Voice struct {
	Out, Err io.Writer
	Quiet    bool // only what is wrong: no table, no warnings, no notes, no names of files
	JSON     bool // JSON in place of the table, quiet or not
	DryRun   bool // nothing was written, so nothing may claim it
	All      bool // each cell is told, also where the advice is equal
}

// Priced tells of a priced workbook. The error is one of writing.
func (v Voice) Priced(r *sheets.Report) error {
	switch {
	case v.JSON:
		if err := JSON(v.Out, r); err != nil {
			return err
		}
	case !v.Quiet:
		if err := Table(v.Out, r); err != nil {
			return err
		}
	}
	lines := v.findings(r)
	if !v.Quiet {
		lines = append(lines, fmt.Sprintf("rows: %d read, %d priced, %d left out", r.Read, r.Priced, r.LeftOut))
		lines = append(lines, taken(r.Taken)...)
		lines = append(lines, changed(r.Logged)...)
		if len(r.Factors) > 0 {
			lines = append(lines, "factors of the shop's own: "+plain(strings.Join(r.Factors, ", ")))
		}
		if r.SetUps != "" {
			lines = append(lines, "set-ups: "+r.SetUps)
		}
	}
	switch said := verdict(r.Verdict); {
	case r.Complete:
	case v.Quiet || v.JSON:
		lines = append(lines, said...)
	default:
		lines = append(lines, said[0]+", at the head of the table")
	}
	if !v.Quiet {
		lines = append(lines, v.written(r.Input, r.Output, r.Unchanged, r.Stands))
	}
	return say(v.Err, lines...)
}

// changed says what is other than at the last run, in one line at most; the
// log in the workbook has it all.
func changed(logged []string) []string {
	const most = 3
	if len(logged) == 0 || logged[0] == logbook.FirstPriced {
		return nil
	}
	told := logged[:min(most, len(logged))]
	line := "logged: " + strings.Join(told, "; ")
	if more := len(logged) - len(told); more > 0 {
		line += fmt.Sprintf("; and %d more, in the log on the assumptions sheet", more)
	}
	return []string{plain(line)}
}

// Started tells of a new starter workbook.
func (v Voice) Started(path string) error {
	return say(v.Err, "wrote "+plain(path),
		"write the joints into it, one a row, then: seamtally price "+plain(path))
}

// StartedFrom tells of one that has the rates of an earlier workbook.
func (v Voice) StartedFrom(path string, r *sheets.Report) error {
	if err := say(v.Err, append(v.findings(r), taken(r.Taken)...)...); err != nil {
		return err
	}
	return say(v.Err, "wrote "+plain(path), "write the joints into it, one a row, then: seamtally price --in-place "+plain(path))
}

// taken says what has come from an earlier workbook.
func taken(t *sheets.Taken) []string {
	if t == nil {
		return nil
	}
	const most = 8
	line := fmt.Sprintf("taken from %s: %s", t.File, t.Took)
	if told := t.Values[:min(most, len(t.Values))]; len(told) > 0 {
		line += "; " + strings.Join(told, "; ")
	}
	if more := len(t.Values) - most; more > 0 {
		line += fmt.Sprintf("; and %d more values, marked on the assumptions sheet", more)
	}
	if len(t.Tables) > 0 {
		line += "; the tables " + strings.Join(t.Tables, ", ")
	}
	return []string{plain(line)}
}

// Failed tells of an error after which nothing was written.
func (v Voice) Failed(err error) error {
	text := err.Error()
	var file *fs.PathError
	if errors.As(err, &file) && file.Error() == text {
		text = unopened(file) // nobody has said yet what to do
	}
	if errors.Is(err, context.Canceled) {
		text = "stopped; nothing was written"
	}
	lines := []string{"seamtally: " + text}
	var refused *sheets.RefusedError
	if errors.As(err, &refused) {
		lines = append(lines, reasonLines(refused.Reasons)...)
	}
	return say(v.Err, lines...)
}

// unopened is a system's error of a file in words, with what to do.
func unopened(e *fs.PathError) string {
	switch {
	case errors.Is(e, fs.ErrNotExist):
		return e.Path + ": there is no such file; check the name and the folder"
	case errors.Is(e, fs.ErrPermission):
		return e.Path + ": not allowed; check whose file it is, and that no other program holds it"
	}
	return fmt.Sprintf("%s: %v; check the file and the disk", e.Path, e.Err)
}

// written is the last line: which file there is now.
func (v Voice) written(in, out string, unchanged, stands bool) string {
	out = plain(out)
	switch {
	case v.DryRun && stands:
		return "dry run: nothing written; it would be " + out + ", which is there already: add --force to replace it"
	case v.DryRun:
		return "dry run: nothing written; it would be " + out
	case unchanged && filepath.Clean(in) == filepath.Clean(out):
		return out + " is up to date; left as it was"
	case unchanged:
		return "wrote " + out + ", the same as " + plain(in)
	}
	return "wrote " + out
}

// findings are the lines for what was found in the workbook, errors first,
// equal ones told once. Quiet leaves only the errors.
func (v Voice) findings(r *sheets.Report) []string { return v.findingsOn(v.Err, r) }

// findingsOn are the same where they go to w.
func (v Voice) findingsOn(w io.Writer, r *sheets.Report) []string {
	var lines []string
	for _, level := range []book.Level{book.LevelError, book.LevelWarning, book.LevelNote} {
		if v.Quiet && level != book.LevelError {
			break
		}
		for _, g := range grouped(r.Findings, level, v.All) {
			lines = append(lines, g.line(w, filepath.Base(r.Input)))
		}
	}
	return lines
}

// group is some findings of one rule and with one advice; the first speaks for all.
type group struct {
	first  book.Finding
	more   int  // findings after the first
	alike  bool // their words differ from those of the first
	advice bool // and what to do does too
}

// mostAdvice is how many findings of one rule are told, each with advice of its
// own, before the others are only counted.
const mostAdvice = 8

// grouped puts the findings of a level that share a rule and their advice
// together, in the order of their first ones. A finding without a rule goes with
// its equals in words. All leaves each by itself.
func grouped(found []book.Finding, level book.Level, all bool) []group {
	var groups []group
	at, kinds := map[string]int{}, map[string]int{}
	for _, f := range found {
		if f.Level != level {
			continue
		}
		rule := cmp.Or(f.Rule, f.What)
		key := rule + "\x00" + f.Fix
		i, seen := at[key]
		if !seen && kinds[rule] >= mostAdvice {
			key = rule // no advice: a rest
			i, seen = at[key]
		}
		if !seen || all {
			kinds[rule]++
			at[key] = len(groups)
			groups = append(groups, group{first: f})
			continue
		}
		g := &groups[i]
		g.more++
		g.alike = g.alike || g.first.What != f.What
		g.advice = g.advice || g.first.Fix != f.Fix
	}
	return groups
}

// line is the message of a group: where, how many, what, what to do, for w to show.
func (g group) line(w io.Writer, file string) string {
	var b strings.Builder
	b.WriteString(file)
	if g.first.Cell != "" {
		b.WriteString(":" + g.first.Cell)
	}
	if g.more > 0 {
		fmt.Fprintf(&b, " and %d more", g.more)
	}
	switch {
	case g.advice:
		b.WriteString(" of the kind")
	case g.alike:
		b.WriteString(" like it")
	}
	b.WriteString(": ")
	if _, shown := screen.Of(w); shown || g.first.Level != book.LevelError {
		b.WriteString(string(g.first.Level) + ": ")
	}
	b.WriteString(g.first.What)
	switch {
	case g.advice:
		b.WriteString("; what to do differs from cell to cell, see them with --all")
	case g.first.Fix != "":
		b.WriteString("; " + g.first.Fix)
	}
	return plain(b.String())
}

// counted is a number of things in words: "1 row", "7 rows".
func counted(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// plain is s on one line and without what a terminal would obey. It is as wide
// as before.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if obeyed(r) {
			return ' '
		}
		return r
	}, s)
}

// obeyed tells the characters that do something where they are shown: control
// characters, those of a format (as the one that turns the direction of what
// follows), and the ends of lines and paragraphs.
func obeyed(r rune) bool {
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp)
}

// say writes whole lines in one go, so that they do not mix with others'. All
// that is told in words goes through it, and comes out plain, but for what a
// terminal gets of us: breaks at its width, and colour.
func say(w io.Writer, lines ...string) error {
	if len(lines) == 0 {
		return nil
	}
	clean := make([]string, 0, len(lines))
	for _, line := range lines {
		clean = append(clean, plain(line))
	}
	if s, ok := screen.Of(w); ok {
		clean = s.Lines(clean)
	}
	_, err := io.WriteString(w, strings.Join(clean, "\n")+"\n")
	return err
}
