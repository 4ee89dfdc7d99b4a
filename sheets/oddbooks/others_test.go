package oddbooks_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

const (
	openSheets   = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
	strictSheets = "http://purl.oclc.org/ooxml/spreadsheetml/main"
	openRels     = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	strictRels   = "http://purl.oclc.org/ooxml/officeDocument/relationships"
	sheetType    = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
)

// withJoints puts a sheet with two joints into a copy of a workbook that
// somebody else made, and touches nothing else in it.
func withJoints(t testing.TB, path string) (string, error) {
	t.Helper()
	data := []byte(shop.Content(t, path))
	p, err := opc.Open(bytes.NewReader(data), int64(len(data)), opc.DefaultLimits())
	if err != nil {
		return "", err
	}
	wb, err := workbook.Read(p)
	if err != nil {
		return "", err
	}
	ns, rel := openSheets, openRels
	if wb.Strict {
		ns, rel = strictSheets, strictRels
	}
	var cells strings.Builder
	for i, row := range []shop.Row{{"Joint no", "Kind", "Qty", "OD (in)", "Wall (in)"}, {"J-1", "butt", 2, 3, 0.049}, {"J-2", "butt", 1, 2.5, 0.049}} {
		fmt.Fprintf(&cells, `<row r="%d">`, i+1)
		for j, v := range row {
			if s, ok := v.(string); ok {
				fmt.Fprintf(&cells, `<c r="%s" t="inlineStr"><is><t>%s</t></is></c>`, grid.Ref(i+1, j+1), s)
			} else {
				fmt.Fprintf(&cells, `<c r="%s"><v>%v</v></c>`, grid.Ref(i+1, j+1), v)
			}
		}
		cells.WriteString("</row>")
	}
	e := p.Edit()
	defer e.Close()
	name := opc.FreePartName(e, "xl/worksheets/sheet%d.xml")
	e.Add(name, []byte(`<?xml version="1.0" encoding="UTF-8" standalone="yes"?>`+"\n"+`<worksheet xmlns="`+ns+`"><sheetFormatPr defaultRowHeight="15"/><sheetData>`+cells.String()+`</sheetData></worksheet>`))
	id, top := "", 0
	for _, s := range wb.Sheets {
		top = max(top, s.SheetID)
	}
	relsName := opc.RelsName(wb.Part)
	for what, change := range map[string]func([]byte) ([]byte, error){
		relsName: func(src []byte) ([]byte, error) {
			have, err := opc.ReadRels(relsName, src)
			if err != nil {
				return nil, err
			}
			id = opc.FreeRelID(have)
			return opc.AddRel(relsName, src, opc.Relationship{ID: id, Type: rel + "/worksheet", Target: "/" + name})
		},
		"[Content_Types].xml": func(src []byte) ([]byte, error) { return opc.AddOverride(src, name, sheetType) },
	} {
		src, err := e.Read(what)
		if err == nil {
			src, err = change(src)
		}
		if err != nil {
			return "", err
		}
		e.Replace(what, src)
	}
	src, err := e.Read(wb.Part)
	if err != nil {
		return "", err
	}
	src, err = wb.Patch(src, workbook.Changes{AddSheets: []workbook.NewSheet{{Name: "Demo joints", RelID: id, SheetID: top + 1}}})
	if err != nil {
		return "", err
	}
	e.Replace(wb.Part, src)
	var out bytes.Buffer
	if _, err := e.WriteTo(&out); err != nil {
		return "", err
	}
	return shop.Put(t, out.Bytes()), nil
}

// nothingLost prices a workbook and demands that what was there is there; it
// gives the reason if the workbook is refused.
func nothingLost(t *testing.T, in string) (refused error) {
	t.Helper()
	out := filepath.Join(t.TempDir(), "priced"+filepath.Ext(in))
	rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: out})
	if err != nil {
		return err
	}
	assert.Positive(t, rep.Read)
	lost, err := sheetstest.Kept(in, out, shop.OursIn(t, out))
	require.NoError(t, err)
	assert.Empty(t, lost, "lost or changed")
	faults, err := sheetstest.OutOfOrder(out)
	require.NoError(t, err)
	assert.Empty(t, faults)
	again, two := shop.Price(t, out)
	assert.True(t, shop.Content(t, out) == shop.Content(t, again), "priced again, the bytes differ")
	assert.True(t, two.Unchanged)
	return nil
}

// The workbooks with which excelize tests itself, from the module cache:
// general-purpose files of many hands, some of them broken on purpose.
func TestWorkbooksOfTheSpreadsheetLibrary(t *testing.T) {
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/xuri/excelize/v2").Output()
	require.NoError(t, err)
	files, err := filepath.Glob(filepath.Join(strings.TrimSpace(string(dir)), "test", "*.xls[xm]"))
	require.NoError(t, err)
	if len(files) == 0 {
		t.Skip("the module cache has no test folder of excelize (a vendored copy leaves it out)")
	}
	tried := 0
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			tried++
			data := []byte(shop.Content(t, file))
			if strings.HasPrefix(filepath.Base(file), "encrypt") {
				// "password" is the password that excelize's own tests give.
				plain, err := excelize.Decrypt(data, &excelize.Options{Password: "password"})
				require.NoError(t, err)
				data = plain
			}
			in, err := withJoints(t, shop.Put(t, data))
			if err != nil {
				t.Logf("refused: %v", err)
				assert.Contains(t, filepath.Base(file), "Bad")
				return
			}
			if err := nothingLost(t, in); err != nil {
				t.Logf("refused: %v", err)
				assert.Contains(t, filepath.Base(file), "Bad")
			}
		})
	}
	t.Logf("%d tried", tried)
}

// The corpus as LibreOffice and openpyxl save it: the same lists in files of
// other makers, with other names, styles and order of parts.
func TestBooksSavedByOthers(t *testing.T) {
	t.Parallel() // most of its time is LibreOffice's, or another program's
	if testing.Short() {
		t.Skip("heavy")
	}
	sheetstest.NeedLibreOffice(t)
	sheetstest.NeedOpenpyxl(t)
	books, err := filepath.Glob(shop.Demo("books/*.xlsx"))
	require.NoError(t, err)
	books = shop.Some(books, 5)
	require.NotEmpty(t, books)
	var edits []sheetstest.OfficeEdit
	dir := t.TempDir()
	args := []string{dir}
	for _, b := range books {
		edits = append(edits, sheetstest.OfficeEdit{Path: b})
		args = append(args, b)
	}
	office := sheetstest.EditAll(t, edits...)
	var cannot map[string]string
	require.NoError(t, json.Unmarshal(sheetstest.Python(t, `
import json, os, sys, openpyxl
cannot = {}
for path in sys.argv[2:]:
    try:
        openpyxl.load_workbook(path).save(os.path.join(sys.argv[1], os.path.basename(path)))
    except Exception as e:
        cannot[os.path.basename(path)] = repr(e)
print(json.dumps(cannot))
`, args...), &cannot))
	tried := 0
	for i, b := range books {
		name := filepath.Base(b)
		saved := map[string]string{"LibreOffice": office[i]}
		if why, bad := cannot[name]; bad {
			t.Logf("openpyxl cannot save %s: %s", name, why)
		} else {
			saved["openpyxl"] = filepath.Join(dir, name)
		}
		for who, path := range saved {
			tried++
			t.Run(who+"/"+name, func(t *testing.T) {
				t.Parallel()
				if err := nothingLost(t, path); err != nil {
					t.Errorf("refused: %v", err)
				}
			})
		}
	}
	t.Logf("%d tried", tried)
}
