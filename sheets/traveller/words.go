package traveller

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/templates"
)

// wordsFile is the template of a traveller's words.
const wordsFile = "traveller.txt"

// words are the words of a traveller, and what may stand on it.
type words struct {
	text    map[string]string
	fields  []field
	columns []column
	stages  []string
	reasons []string // headings, lower case
	unsaid  []string // lower case
}

// field is one thing of the head of Assumptions, with what is typed there.
type field struct{ key, label, text string }

// column is one of the table: what it says of a joint, or a box to fill in.
type column struct {
	width   float64
	heading string
	box     bool
	lines   []line
}

// line is one that a column may say.
type line struct {
	when []condition
	text string // names in braces
}

// condition is that a name is, is not, or is over something.
type condition struct{ name, how, what string }

// named finds the names in a line.
var named = regexp.MustCompile(`\{([a-z_.]+)\}`)

// Names that are no quantities of the joint line.
const (
	nameMark    = "mark"
	nameSection = "section"
	nameDrawing = "drawing"
	namePurging = "purging"
)

// readWords reads the template. Its errors name the line.
func readWords() (*words, error) {
	w := &words{text: map[string]string{}}
	if err := entry.EachLine(templates.FS, wordsFile, w.read); err != nil {
		return nil, err
	}
	return w, entry.NeedWords(wordsFile, w.text, "title", "draft", "draft_note", "car", "joints", "of", "hidden", "blue", "minutes", "end", "procedure", "quote", "page", "note", "own_drawing", "own_note", "purge_own", "purge_many", "purge_shared", "purge_none")
}

// read takes a line of the template.
func (w *words) read(key, rest string) error {
	switch {
	case rest == "":
		return fmt.Errorf("%s has no words; write them behind it", key)
	case key == "column", key == "box":
		return w.readColumn(rest, key == "box")
	case key == "say":
		return w.readLine(rest)
	case key == "stage":
		w.stages = append(w.stages, rest)
	case key == "reason":
		w.reasons = append(w.reasons, listed(rest)...)
	case key == "unsaid":
		w.unsaid = append(w.unsaid, listed(rest)...)
	case strings.HasPrefix(key, book.HeadPrefix):
		w.fields = append(w.fields, field{key: key, label: rest})
	default:
		w.text[key] = rest
	}
	return nil
}

// listed are words with semicolons between, in small letters.
func listed(text string) (out []string) {
	for word := range strings.SplitSeq(text, ";") {
		out = append(out, strings.ToLower(strings.TrimSpace(word)))
	}
	return out
}

func (w *words) readColumn(text string, box bool) error {
	wide, heading, there := strings.Cut(text, "|")
	if !there || strings.Contains(heading, "|") {
		return fmt.Errorf("a column has a width and a heading, with | between them")
	}
	width, err := strconv.ParseFloat(strings.TrimSpace(wide), 64)
	switch last := len(w.columns) - 1; {
	case err != nil || width <= 0:
		return fmt.Errorf("%q is no width in characters; write a number", strings.TrimSpace(wide))
	case !box && last >= 0 && w.columns[last].box:
		return fmt.Errorf("a column stands left of the boxes; write it before them")
	}
	w.columns = append(w.columns, column{width: width, heading: strings.TrimSpace(heading), box: box})
	return nil
}

func (w *words) readLine(text string) error {
	when, said, there := strings.Cut(text, "|")
	if !there || len(w.columns) == 0 || w.columns[len(w.columns)-1].box {
		return fmt.Errorf("a line stands below a column, and has a | between when it is said and what")
	}
	l := line{text: strings.TrimSpace(said)}
	if when = strings.TrimSpace(when); when != "always" {
		for part := range strings.SplitSeq(when, ",") {
			f := strings.SplitN(strings.TrimSpace(part), " ", 3)
			if len(f) != 3 || f[1] != "is" && f[1] != "not" && f[1] != "over" {
				return fmt.Errorf("%q is no condition; write NAME is WORD, NAME not NAME, or NAME over NUMBER", strings.TrimSpace(part))
			}
			l.when = append(l.when, condition{f[0], f[1], f[2]})
		}
	}
	last := &w.columns[len(w.columns)-1]
	last.lines = append(last.lines, l)
	return nil
}

// check reports a name that means nothing on a joint's row.
func (w *words) check(m *model.Model) error {
	for _, name := range w.names() {
		switch name {
		case nameMark, nameSection, nameDrawing, namePurging:
			continue
		}
		if _, err := find(m, name); err != nil {
			return fmt.Errorf("%s: %w", wordsFile, err)
		}
	}
	return nil
}

// names are those that the lines ask for.
func (w *words) names() []string {
	var out []string
	for _, c := range w.columns {
		for _, l := range c.lines {
			for _, name := range named.FindAllStringSubmatch(l.text, -1) {
				out = append(out, name[1])
			}
			for _, c := range l.when {
				out = append(out, c.name)
				if c.how == "not" {
					out = append(out, c.what)
				}
			}
		}
	}
	return out
}

// find is a quantity of the joint line, or of the table's line that it has found.
func find(m *model.Model, name string) (model.Target, error) {
	table, key, dotted := strings.Cut(name, ".")
	if !dotted {
		table, key = "", name
	}
	return m.Find(m.Line, table, key)
}
