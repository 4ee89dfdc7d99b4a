package sheetstest

import (
	"archive/zip"
	"errors"
	"fmt"
	"strings"
)

// partOrder is the order in which the elements of a part stand: the
// sequences of CT_Worksheet, CT_Workbook and CT_Stylesheet in the schema of
// ECMA-376, part 1, annex A (from memory).
var partOrder = map[string]string{
	"worksheet":  "sheetPr dimension sheetViews sheetFormatPr cols sheetData sheetCalcPr sheetProtection protectedRanges scenarios autoFilter sortState dataConsolidate customSheetViews mergeCells phoneticPr conditionalFormatting dataValidations hyperlinks printOptions pageMargins pageSetup headerFooter rowBreaks colBreaks customProperties cellWatches ignoredErrors smartTags drawing legacyDrawing legacyDrawingHF drawingHF picture oleObjects controls webPublishItems tableParts extLst",
	"workbook":   "fileVersion fileSharing workbookPr workbookProtection bookViews sheets functionGroups externalReferences definedNames calcPr oleSize customWorkbookViews pivotCaches smartTagPr smartTagTypes webPublishing fileRecoveryPr webPublishObjects extLst",
	"styleSheet": "numFmts fonts fills borders cellStyleXfs cellXfs cellStyles dxfs tableStyles colors extLst",
}

// OutOfOrder lists what stands in the parts of a package against the order of
// the schema: elements of sheets, workbook and styles, rows and cells that do
// not ascend, and cells that are there twice. Spreadsheet programs repair such
// a file, or refuse it.
func OutOfOrder(path string) (faults []string, err error) {
	z, err := zip.OpenReader(path)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, z.Close()) }()
	for _, f := range z.File {
		if !strings.HasSuffix(strings.ToLower(f.Name), ".xml") {
			continue
		}
		t, err := treeOf(f)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
		order := strings.Fields(partOrder[t.root().name])
		if len(order) == 0 {
			continue
		}
		last := 0
		for _, k := range t.root().kids {
			if k.kind != element || prefix(k) != prefix(t.root()) {
				continue // of an extension, not of the schema
			}
			at := indexOf(order, k.name)
			switch {
			case at < 0:
				faults = append(faults, fmt.Sprintf("%s: <%s> is not in the schema", f.Name, k.name))
			case at < last:
				faults = append(faults, fmt.Sprintf("%s: <%s> stands after <%s>", f.Name, k.name, order[last]))
			}
			last = max(last, at)
		}
		if data := t.root().child("sheetData"); data != nil {
			faults = append(faults, cellsOutOfOrder(f.Name, data)...)
		}
	}
	return faults, nil
}

// prefix is the namespace prefix of an element as it is spelled.
func prefix(n *node) string { return strings.TrimSuffix(n.full, n.name) }

func indexOf(list []string, s string) int {
	for i, x := range list {
		if x == s {
			return i
		}
	}
	return -1
}

func cellsOutOfOrder(part string, data *node) (faults []string) {
	row := 0
	for _, r := range data.kids {
		if r.kind != element || r.name != "row" {
			continue
		}
		row++
		if at := r.attr("r"); at != "" {
			n := 0
			if _, err := fmt.Sscan(at, &n); err != nil || n < row {
				faults = append(faults, fmt.Sprintf("%s: row %q stands below row %d", part, at, row-1))
			}
			row = max(row, n)
		}
		col := 0
		for _, c := range r.kids {
			if c.kind != element || c.name != "c" {
				continue
			}
			at := columnOf(c, col)
			if at <= col {
				faults = append(faults, fmt.Sprintf("%s: cell %s stands right of column %d", part, c.attr("r"), col))
			}
			col = max(col, at)
		}
	}
	return faults
}
