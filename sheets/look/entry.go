package look

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"
)

// Limits of the file format on the words of a validation (ECMA-376 part 1,
// 18.3.1.32), in UTF-16 units. A spreadsheet program calls a file broken that
// exceeds them, so they are checked here.
const (
	maxTitle  = 32
	maxPrompt = 255
	maxError  = 225
)

func (b *Book) validate(s Sheet) error {
	for _, v := range s.Validations {
		dv, err := v.rule()
		if err == nil {
			err = b.lib().AddDataValidation(s.Title, dv)
		}
		if err != nil {
			return fmt.Errorf("range %s: %w", v.Range, err)
		}
	}
	return nil
}

func (v Validation) rule() (*excelize.DataValidation, error) {
	for _, text := range []struct {
		what, text string
		most       int
	}{
		{"title of the prompt", v.PromptTitle, maxTitle}, {"prompt", v.Prompt, maxPrompt},
		{"title of the error", v.ErrorTitle, maxTitle}, {"error", v.Error, maxError},
	} {
		if n := len(utf16.Encode([]rune(text.text))); n > text.most {
			return nil, fmt.Errorf("the %s is %d characters long; at most %d are allowed", text.what, n, text.most)
		}
	}
	dv := excelize.NewDataValidation(true)
	dv.SetSqref(v.Range)
	if err := v.limit(dv); err != nil {
		return nil, err
	}
	if v.Prompt != "" || v.PromptTitle != "" {
		dv.SetInput(v.PromptTitle, v.Prompt)
	}
	style := excelize.DataValidationErrorStyleWarning
	if v.Strict {
		style = excelize.DataValidationErrorStyleStop
	}
	if dv.Type != "" && (v.Error != "" || v.Strict) {
		dv.SetError(style, v.ErrorTitle, v.Error)
	}
	return dv, nil
}

// limit says what may be typed. A validation that limits nothing is a prompt.
func (v Validation) limit(dv *excelize.DataValidation) error {
	switch {
	case len(v.Words) > 0:
		for _, w := range v.Words {
			if strings.Contains(w, ",") {
				return fmt.Errorf("%q holds a comma, which parts the words of a list; keep these words in cells and give their range as Source", w)
			}
		}
		return dv.SetDropList(v.Words)
	case v.Source != "":
		dv.SetSqrefDropList(escaper().Replace(v.Source))
		return nil
	case v.Whole || v.Decimal:
		kind := excelize.DataValidationTypeDecimal
		if v.Whole {
			kind = excelize.DataValidationTypeWhole
		}
		switch {
		case v.Low != nil && v.High != nil:
			return dv.SetRange(*v.Low, *v.High, kind, excelize.DataValidationOperatorBetween)
		case v.Low != nil:
			return dv.SetRange(*v.Low, "", kind, excelize.DataValidationOperatorGreaterThanOrEqual)
		case v.High != nil:
			return dv.SetRange(*v.High, "", kind, excelize.DataValidationOperatorLessThanOrEqual)
		}
		return errors.New("a number without bounds; give Low or High")
	}
	return nil
}

// escaper is needed because the library writes a source as it stands.
func escaper() *strings.Replacer { return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;") }

// BadWords are the words that a flagged range shows boldly: a cell that holds
// one of them, in this spelling, or an error such as #N/A.
func BadWords() []string {
	return []string{"INCOMPLETE", "OUTSIDE", "LOOK", "WRONG", "changed", "missing", "left out"}
}

func (b *Book) mark(s Sheet) error {
	for _, r := range s.Flags {
		if b.flag == nil {
			dxf, err := b.lib().NewConditionalStyle(flagged())
			if err != nil {
				return err
			}
			b.flag = &dxf
		}
		first, _, _ := strings.Cut(r, ":")
		if _, _, err := excelize.CellNameToCoordinates(first); err != nil {
			return fmt.Errorf("range %q: %w", r, err)
		}
		rule := excelize.ConditionalFormatOptions{Type: "formula", Criteria: badWord(first), Format: b.flag}
		if err := b.lib().SetConditionalFormat(s.Title, r, []excelize.ConditionalFormatOptions{rule}); err != nil {
			return fmt.Errorf("range %q: %w", r, err)
		}
	}
	return nil
}

// badWord is true for a cell with a bad word or an error. COUNT counts those of
// its arguments that are numbers and passes over errors; a list in braces would
// be shorter, but is not allowed here.
func badWord(cell string) string {
	finds := BadWords()
	for i, w := range finds {
		finds[i] = fmt.Sprintf("FIND(%q,%s)", w, cell)
	}
	return fmt.Sprintf("OR(ISERROR(%s),COUNT(%s)>0)", cell, strings.Join(finds, ","))
}
