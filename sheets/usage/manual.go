package usage

import (
	"fmt"
	"io"
	"strings"

	"github.com/urfave/cli/v2"
)

// What the manual page says beside the commands, which speak for themselves.
const (
	manualExit = `0: Done in full, with warnings or without.

1: Done, with something to mend. "price" left rows out; "check" or "audit" found
something; or the workbook is written, but not all could be said of it.

2: Not done. Nothing was written, and the last line on standard error says why.`

	manualEnvironment = `SEAMTALLY_PASSWORD: The password of an encrypted workbook, where no flag gives
one. Of the ways to give one, a file named by --password-file shows it to the
fewest.

SEAMTALLY_FROM: The workbook whose rates "price" and "new" begin with, where --from
names none and the workbook has none of its own.

NO_COLOR, TERM: A terminal is shown words of severity in colour, unless NO_COLOR is
set or TERM is dumb, and messages at its width; a wait of over two seconds says how far
it is. What is piped is the same lines everywhere, without any of it.

SOURCE_DATE_EPOCH: The day of a run where --date gives none, in whole seconds since
the beginning of 1970. Equal input on an equal day gives an equal file.

TMPDIR: The folder for temporary files (TMP on Windows). Sheets that are written
anew wait there, packed, until the output is whole.`

	manualFiles = `FILE: An .xlsx or .xlsm workbook with a row of headings, an outside diameter and a
wall among them, in the first 40 rows of a sheet. Its own cells stay as they are. Or a
list, .csv or .tsv in UTF-8, which becomes a workbook; or - for standard input.

order-priced.xlsx: What becomes of order.xlsx, beside it. Outputs are written whole
or not at all, by way of a file in the same folder that has no name or, where the
system knows none such, .seamtally-*.tmp.

~$order.xlsx, .~lock.order.xlsx#: Left by a spreadsheet program in which order.xlsx
is open. A workbook with one beside it is not replaced.`
)

// Manual writes the manual page of the program, for man(1), from its commands
// and flags as they are. The day, as 2026-11-25, stands at its foot, and may be
// missing; cautions are those of the trade, a paragraph each.
func Manual(w io.Writer, app *cli.App, day string, cautions []string) error {
	var p page
	version, _, _ := strings.Cut(app.Version, ",")
	p.line(`.TH %s 1 "%s" "%s %s" "User Commands"`, strings.ToUpper(app.Name), day, app.Name, roff(version))
	p.line(".ad l\n.nh") // ragged and unbroken, so that names can be copied
	p.line(".SH NAME")
	p.line(`%s \- %s`, app.Name, roff(app.Usage))

	var commands []*cli.Command
	for _, c := range app.VisibleCommands() {
		if c.Name != "help" {
			commands = append(commands, c)
		}
	}
	p.line(".SH SYNOPSIS")
	for i, c := range commands {
		if i > 0 {
			p.line(".br")
		}
		p.synopsis(c.UsageText)
	}
	p.line(".br")
	p.synopsis(app.Name + " help [COMMAND]")

	about, examples := parted(app.Description)
	p.section("DESCRIPTION", about)
	p.line(".SH COMMANDS")
	for _, c := range commands {
		p.command(c)
	}
	p.line(".SH OPTIONS")
	p.line(".TP\n.BR \\-\\-help \", \" \\-h\nShow help: of the program, or of the command before it.")
	p.line(".TP\n.BR \\-\\-version \", \" \\-v\nPrint the version, and the revision of the sources that it was built from.")
	for _, s := range []struct{ title, text string }{
		{"EXIT STATUS", manualExit}, {"ENVIRONMENT", manualEnvironment}, {"FILES", manualFiles},
	} {
		p.line(".SH %s", s.title)
		p.items(s.text)
	}
	p.section("CAUTIONS", cautions)
	p.line(".SH EXAMPLES")
	p.typed(examples)
	_, err := io.WriteString(w, p.String())
	return err
}

// parted takes the examples out of a description. The rest is its paragraphs.
func parted(description string) (paragraphs []string, examples string) {
	for text := range strings.SplitSeq(description, "\n\n") {
		if list, ok := strings.CutPrefix(text, "Examples:\n"); ok {
			examples = list
			continue
		}
		paragraphs = append(paragraphs, text)
	}
	return paragraphs, examples
}

// page is a manual page in the making, in roff with the macros of man(7).
type page struct{ strings.Builder }

func (p *page) line(format string, args ...any) {
	fmt.Fprintf(p, format+"\n", args...)
}

// text is one paragraph, without the macro that begins it.
func (p *page) text(s string) {
	for l := range strings.SplitSeq(s, "\n") {
		p.line("%s", roff(l))
	}
}

// section is paragraphs under a title; the title begins the first of them.
func (p *page) section(title string, all []string) {
	p.line(".SH %s", title)
	for i, s := range all {
		if i > 0 {
			p.line(".PP")
		}
		p.text(s)
	}
}

func (p *page) paragraphs(all []string) {
	for _, s := range all {
		p.line(".PP")
		p.text(s)
	}
}

// items are paragraphs that each begin with a term and a colon.
func (p *page) items(all string) {
	for s := range strings.SplitSeq(all, "\n\n") {
		term, what, _ := strings.Cut(s, ": ")
		p.line(".TP\n.B %s", roff(term))
		p.text(what)
	}
}

// synopsis is one way to call the program, its fixed words in bold.
func (p *page) synopsis(usage string) {
	words := strings.Fields(usage)
	fixed := 0
	for fixed < len(words) && fixed < 2 && strings.ToUpper(words[fixed]) != words[fixed] {
		fixed++
	}
	p.line(".B %s", roff(strings.Join(words[:fixed], " ")))
	if fixed < len(words) {
		p.text(strings.Join(words[fixed:], " "))
	}
}

// command is one command: what it is for, its flags, examples.
func (p *page) command(c *cli.Command) {
	p.line(".SS %s", c.Name)
	p.synopsis(c.UsageText)
	about, examples := parted(c.Description)
	p.paragraphs(append([]string{strings.ToUpper(c.Usage[:1]) + c.Usage[1:] + "."}, about...))
	for _, f := range c.VisibleFlags() {
		if f.Names()[0] != "help" {
			p.flag(f)
		}
	}
	if examples != "" {
		p.line(".PP\nExamples:\n.PP")
		p.typed(examples)
	}
}

// flag is one flag with its value and what it does.
func (p *page) flag(f cli.Flag) {
	doc, ok := f.(cli.DocGenerationFlag)
	if !ok {
		return
	}
	usage := doc.GetUsage()
	value := ""
	if _, after, ok := strings.Cut(usage, "`"); ok {
		value, _, _ = strings.Cut(after, "`")
	}
	var names []string
	for _, name := range f.Names() {
		name = `\fB` + roff(dashed(name)) + `\fR`
		if value != "" {
			name += ` \fI` + roff(value) + `\fR`
		}
		names = append(names, name)
	}
	p.line(".TP\n%s", strings.Join(names, ", "))
	usage = strings.ReplaceAll(usage, "`", "")
	if env := doc.GetEnvVars(); len(env) > 0 {
		usage += " (else " + strings.Join(env, ", ") + " of the environment)"
	}
	p.text(strings.ToUpper(usage[:1]) + usage[1:])
}

// typed is lines to type, as they are.
func (p *page) typed(lines string) {
	p.line(".RS 4\n.nf")
	for l := range strings.SplitSeq(lines, "\n") {
		p.line("%s", roff(strings.TrimPrefix(l, "   ")))
	}
	p.line(".fi\n.RE")
}

// roff is plain text as roff reads it: nothing in it is a command, and marks
// that roff would set as others stay what is typed.
func roff(s string) string {
	var b strings.Builder
	for i, r := range s {
		switch {
		case i == 0 && r == '.':
			b.WriteString(`\&.`)
		case r == '\\':
			b.WriteString(`\e`)
		case r == '-':
			b.WriteString(`\-`)
		case r == '\'':
			b.WriteString(`\(aq`)
		case r == '"':
			b.WriteString(`\(dq`)
		case r == '`':
			b.WriteString(`\(ga`)
		case r == '^':
			b.WriteString(`\(ha`)
		case r == '~':
			b.WriteString(`\(ti`)
		case r > '~':
			fmt.Fprintf(&b, `\[u%04X]`, r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}
