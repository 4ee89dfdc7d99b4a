package entry

import (
	"bufio"
	"fmt"
	"io/fs"
	"strings"
)

// field is one line of a template: its first word, and the rest.
type field struct {
	file string
	line int
	name string
	text string
}

// fault describes what is wrong with the line, in the form
// "headings.txt:12: what".
func (f field) fault(format string, args ...any) error {
	return fmt.Errorf("%s:%d: %s", f.file, f.line, fmt.Sprintf(format, args...))
}

// list splits the text at semicolons. Empty items are dropped, so that a line
// may end in one.
func (f field) list() []string {
	var items []string
	for item := range strings.SplitSeq(f.text, ";") {
		if item = strings.TrimSpace(item); item != "" {
			items = append(items, item)
		}
	}
	return items
}

// readFields reads the lines of a template in order. Blank lines and lines
// that begin with # are left out.
func readFields(fsys fs.FS, name string) ([]field, error) {
	f, err := fsys.Open(name)
	if err != nil {
		return nil, fmt.Errorf("template of spellings: %w", err)
	}
	defer f.Close()
	var fields []field
	lines := bufio.NewScanner(f)
	for n := 1; lines.Scan(); n++ {
		text := strings.TrimSpace(lines.Text())
		if text == "" || strings.HasPrefix(text, "#") {
			continue
		}
		first, rest, _ := strings.Cut(text, " ")
		fields = append(fields, field{name, n, first, strings.TrimSpace(rest)})
	}
	if err := lines.Err(); err != nil {
		return nil, fmt.Errorf("template of spellings: %s: %w", name, err)
	}
	return fields, nil
}

// EachLine reads a template whose lines are each a word and what it stands for. An error
// of line names the line.
func EachLine(fsys fs.FS, name string, line func(word, rest string) error) error {
	fields, err := readFields(fsys, name)
	if err != nil {
		return err
	}
	for _, f := range fields {
		if err := line(f.name, f.text); err != nil {
			return fmt.Errorf("%s:%d: %w", f.file, f.line, err)
		}
	}
	return nil
}

// NeedWords refuses a template that has nothing for some of its words.
func NeedWords(name string, have map[string]string, words ...string) error {
	for _, word := range words {
		if have[word] == "" {
			return fmt.Errorf("%s: there are no words for %s; add a line", name, word)
		}
	}
	return nil
}
