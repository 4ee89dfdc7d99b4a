package offer

import (
	"fmt"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/templates"
)

// The template of an offer's words, and the fields that it has besides those which it
// lists.
const (
	offerFile    = "offer.txt"
	dateField    = book.HeadPrefix + "quote_date"
	shopField    = book.HeadPrefix + "shop"
	addressField = book.HeadPrefix + "address"
)

// offerWords are the words of an offer.
type offerWords struct {
	text   map[string]string
	fields []Field // what the shop types, in order; without Text and Cell
	small  []string
}

// readOfferWords reads the template. Its errors name the line.
func readOfferWords() (*offerWords, error) {
	w := &offerWords{text: map[string]string{}, fields: []Field{{Key: shopField, Label: "Shop"}, {Key: addressField, Label: "Address"}}}
	err := entry.EachLine(templates.FS, offerFile, func(key, words string) error {
		switch {
		case words == "":
			return fmt.Errorf("%s has no words; write them behind it", key)
		case key == "small":
			w.small = append(w.small, words)
		case key == "date":
			w.fields = append(w.fields, Field{Key: dateField, Label: words})
		case strings.HasPrefix(key, book.HeadPrefix), strings.HasPrefix(key, book.BasisPrefix):
			w.fields = append(w.fields, Field{Key: key, Label: words})
		default:
			w.text[key] = words
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return w, entry.NeedWords(offerFile, w.text, "title", "draft", "draft_note", "offered", "cars", "each", "all", "least", "rounding", "unknown", "total", "sign_shop", "sign_customer", "sign_line")
}
