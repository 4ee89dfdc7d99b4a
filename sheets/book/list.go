package book

import (
	"io"
	"os"
	"path/filepath"
	"strings"

	"seamtally/sheets/part/opc"
	"seamtally/sheets/separated"
)

// ofList makes a workbook of a list of separated values, on a sheet called as the file
// is.
func (b *Book) ofList(f *os.File) (*opc.Package, error) {
	data, err := io.ReadAll(io.LimitReader(f, separated.MostBytes+1))
	if err != nil {
		return nil, err
	}
	list, err := separated.Read(data)
	if err != nil {
		return nil, err
	}
	name := filepath.Base(f.Name())
	title := separated.Title(strings.TrimSuffix(name, filepath.Ext(name)))
	made, err := list.Workbook(title)
	if err != nil {
		return nil, err
	}
	how := "separated by " + separated.Called(list.Separator)
	if list.DecimalComma {
		how += ", a comma before decimals"
	}
	b.Note(LevelNote, "list", title, "the list is read as "+how+", and stands on this sheet as typed", "")
	return opc.OpenBytes(made)
}
