package worksheet

import "seamtally/sheets/part/markup"

// SetFooter gives a worksheet part the footer of its pages, if it has one
// already; without one it stays as it is. name is for messages.
func SetFooter(name string, src []byte, footer string) ([]byte, error) {
	t, err := markup.ParseRoot(name, src, "worksheet", markup.SheetNS, markup.StrictSheetNS)
	if err != nil {
		return nil, err
	}
	foot := t.Root.Child("headerFooter").Child("oddFooter")
	if foot == nil || foot.Text == footer {
		return src, nil
	}
	p := t.Patch()
	p.SetText(foot, footer)
	return p.Bytes()
}
