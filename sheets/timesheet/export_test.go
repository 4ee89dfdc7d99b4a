package timesheet

// BesideSpellings are the headings under which a shop logs in its own workbook.
func BesideSpellings() ([]string, error) {
	w, err := readWords()
	if err != nil {
		return nil, err
	}
	var out []string
	for _, c := range w.beside {
		out = append(out, c.also...)
	}
	return out, nil
}
