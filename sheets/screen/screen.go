package screen

import (
	"io"
	"os"
	"regexp"
	"strings"
	"unicode/utf8"

	"golang.org/x/term"
)

// Screen is a terminal that somebody looks at.
type Screen struct {
	Width  int  // in characters; 0 = not known, and nothing is wrapped
	Colour bool // words of severity are in colour too
}

// Of is the terminal behind w; ok is false where there is none.
func Of(w io.Writer) (s Screen, ok bool) {
	f, isFile := w.(*os.File)
	if !isFile || !term.IsTerminal(int(f.Fd())) {
		return Screen{}, false
	}
	if width, _, err := term.GetSize(int(f.Fd())); err == nil {
		s.Width = width
	}
	// https://no-color.org: any value but none at all; a dumb terminal obeys nothing.
	s.Colour = os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb" && obeys(f)
	return s, true
}

// leastWidth is the narrowest terminal for which lines are wrapped.
const leastWidth = 40

// Lines are the lines as the terminal is to show them.
func (s Screen) Lines(lines []string) []string {
	var out []string
	for i := 0; i < len(lines); {
		file, n := ofOneFile(lines[i:])
		if n < 2 {
			out = append(out, s.shown(lines[i])...)
			i++
			continue
		}
		out = append(out, file)
		for _, line := range lines[i : i+n] {
			out = append(out, s.shown("  "+strings.TrimSpace(strings.TrimPrefix(line, file)))...)
		}
		i += n
	}
	return out
}

var fileFirst = regexp.MustCompile(`(?i)^[^:]*\.(?:xlsx|xlsm|csv):`)

// ofOneFile is how many of the first lines begin with the name of one file, and that
// name with its colon.
func ofOneFile(lines []string) (file string, n int) {
	file = fileFirst.FindString(lines[0])
	for file != "" && n < len(lines) && strings.HasPrefix(lines[n], file) {
		n++
	}
	return file, n
}

// shown is a line, wrapped and in colour.
func (s Screen) shown(line string) []string {
	all := s.wrapped(line)
	if s.Colour {
		coloured(all)
	}
	return all
}

// wrapped breaks a line at its blanks; what follows is set in by four more. A line
// with columns in it stays whole.
func (s Screen) wrapped(line string) []string {
	text := strings.TrimLeft(line, " ")
	if s.Width < leastWidth || utf8.RuneCountInString(line) <= s.Width || strings.Contains(text, "  ") {
		return []string{line}
	}
	lead := line[:len(line)-len(text)]
	in := lead + "    "
	var out []string
	now, empty := lead, true
	for word := range strings.SplitSeq(text, " ") {
		if !empty && utf8.RuneCountInString(now+" "+word) > s.Width {
			out, now, empty = append(out, now), in, true
		}
		if !empty {
			now += " "
		}
		now, empty = now+word, false
	}
	return append(out, now)
}

// Colours of a terminal, as ECMA-48 (SGR) numbers them.
const (
	red, green, yellow, cyan = "31", "32", "33", "36"
	bold                     = "1;"
)

var severity = regexp.MustCompile(`^(INCOMPLETE|COMPLETE)\b|(?:^|\s)(error|warning|note|wrong|doubtful|worth knowing):(?:\s|$)`)

// coloured puts the first word of severity among the lines of a message into colour.
func coloured(lines []string) {
	hues := map[string]string{
		"INCOMPLETE": bold + red, "COMPLETE": bold + green, "error": bold + red, "wrong": bold + red,
		"warning": bold + yellow, "doubtful": bold + yellow, "note": cyan, "worth knowing": cyan,
	}
	for i, line := range lines {
		m := severity.FindStringSubmatchIndex(line)
		if m == nil {
			continue
		}
		from, to := m[2], m[3]
		if from < 0 {
			from, to = m[4], m[5]
		}
		lines[i] = line[:from] + "\x1b[" + hues[line[from:to]] + "m" + line[from:to] + "\x1b[0m" + line[to:]
		return
	}
}
