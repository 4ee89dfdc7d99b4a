package notes

import (
	"maps"
	"slices"
	"strings"

	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/sayings"
)

// Note is a comment at a cell, or a text box that hangs on it.
type Note struct {
	Row, Col int
	Words    string   // all of it, on one line
	Ways     []string // the texts as which it is to be read: the whole, and each of its lines
}

// Sheet are the comments of a sheet, and its text boxes.
type Sheet struct {
	at    map[int][]Note
	boxes []Note
}

// mostComments bounds how many are kept of a sheet, and how many boxes.
const mostComments = 20000

// Read reads the comments and the text boxes of a sheet part.
func Read(p opc.Parts, sheetPart string) (*Sheet, error) {
	all, err := workbook.Comments(p, sheetPart)
	if err != nil {
		return nil, err
	}
	s := &Sheet{at: map[int][]Note{}}
	for _, c := range all[:min(len(all), mostComments)] {
		if n := noteOf(c); n.Words != "" {
			s.at[c.Row] = append(s.at[c.Row], n)
		}
	}
	boxes, err := workbook.Boxes(p, sheetPart)
	for _, box := range boxes[:min(len(boxes), mostComments)] {
		if n := noteOf(workbook.Comment{Row: box.Row, Col: box.Col, Text: box.Text}); n.Words != "" {
			s.boxes = append(s.boxes, n)
		}
	}
	return s, err
}

// TakeBoxes gives the text boxes, once. Each hangs on a cell, and may be about others.
func (s *Sheet) TakeBoxes() []Note {
	boxes := s.boxes
	s.boxes = nil
	return boxes
}

// Take gives the comments at a row, once.
func (s *Sheet) Take(row int) []Note {
	notes := s.at[row]
	delete(s.at, row)
	return notes
}

// Rows are the rows whose comments nobody has taken, from the top.
func (s *Sheet) Rows() []int { return slices.Sorted(maps.Keys(s.at)) }

// noteOf reads a comment. A spreadsheet puts the author's name before what he writes.
func noteOf(c workbook.Comment) Note {
	text := strings.TrimSpace(strings.ReplaceAll(c.Text, "\r", "\n"))
	if first, rest, several := strings.Cut(text, ":"); several && c.Author != "" && strings.EqualFold(strings.TrimSpace(first), c.Author) {
		text = rest
	}
	n := Note{Row: c.Row, Col: c.Col, Words: oneLine(text)}
	n.Ways = ways(n.Words, text)
	if len(n.Words) > sayings.Longest {
		n.Words = strings.ToValidUTF8(n.Words[:sayings.Longest], "")
	}
	return n
}

// ways are a text and, where there are several, its lines; of one that is a letter, also
// its sentences.
func ways(whole, text string) []string {
	out := []string{whole}
	for line := range strings.Lines(text) {
		if line = oneLine(line); len(line) > sayings.Longest {
			out = append(out, strings.Split(line, ". ")...)
		} else if line != "" && line != whole {
			out = append(out, line)
		}
	}
	return slices.DeleteFunc(out, func(s string) bool { return len(s) > sayings.Longest })
}

func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }
