package offer

import (
	"bufio"
	"fmt"
	"strings"

	"seamtally/sheets/book"
	"seamtally/templates"
)

// The template of an offer's words, and two fields that it has besides those
// which it lists.
const (
	offerFile = "offer.txt"
	dateField = book.HeadPrefix + "quote_date"
	shopField = book.HeadPrefix + "shop"
)

// offerWords are the words of an offer.
type offerWords struct {
	text   map[string]string
	fields []Field // what the shop types, in order; without Text and Cell
	small  []string
}

// readOfferWords reads the template. Its errors name the line.
func readOfferWords() (*offerWords, error) {
	file, err := templates.FS.Open(offerFile)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	w := &offerWords{text: map[string]string{}, fields: []Field{{Key: shopField, Label: "Shop"}}}
	lines := bufio.NewScanner(file)
	for n := 1; lines.Scan(); n++ {
		line := strings.TrimSpace(lines.Text())
		if line == "" || line[0] == '#' {
			continue
		}
		key, words, _ := strings.Cut(line, " ")
		words = strings.TrimSpace(words)
		switch {
		case words == "":
			return nil, fmt.Errorf("%s:%d: %s has no words; write them behind it", offerFile, n, key)
		case key == "small":
			w.small = append(w.small, words)
		case key == "date":
			w.fields = append(w.fields, Field{Key: dateField, Label: words})
		case strings.HasPrefix(key, book.HeadPrefix), strings.HasPrefix(key, book.BasisPrefix):
			w.fields = append(w.fields, Field{Key: key, Label: words})
		default:
			w.text[key] = words
		}
	}
	if err := lines.Err(); err != nil {
		return nil, fmt.Errorf("%s: %w", offerFile, err)
	}
	for _, key := range []string{"title", "draft", "draft_note", "offered", "cars", "each", "all", "least", "rounding", "unknown", "total", "sign_shop", "sign_customer", "sign_line"} {
		if w.text[key] == "" {
			return nil, fmt.Errorf("%s: there are no words for %s; add a line", offerFile, key)
		}
	}
	return w, nil
}
