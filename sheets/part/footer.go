package part

// SetFooter gives a worksheet part the footer of its pages, if it has one
// already; without one it stays as it is. name is for messages.
func SetFooter(name string, src []byte, footer string) ([]byte, error) {
	t, err := scanRoot(name, src, "worksheet", sheetNS, strictSheetNS)
	if err != nil {
		return nil, err
	}
	foot := t.root.child("headerFooter").child("oddFooter")
	if foot == nil || foot.text == footer {
		return src, nil
	}
	p := t.patch()
	p.setText(foot, footer)
	return p.bytes()
}
