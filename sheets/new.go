package sheets

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/disk"
	"seamtally/sheets/look"
	"seamtally/templates"
)

// New writes a starter workbook: a joint list with example rows, which prices
// as it stands.
func New(path string, metric, force bool) error {
	if err := newName(path); err != nil {
		return err
	}
	to, err := disk.Vacant(path, force)
	if err != nil {
		return err
	}
	data, err := look.Starter(metric)
	if err != nil {
		return err
	}
	return disk.Save(to, 0o644, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}

func newName(path string) error {
	if !strings.EqualFold(filepath.Ext(path), ".xlsx") {
		return fmt.Errorf("%s: a new workbook is an .xlsx; give the file that ending", path)
	}
	return nil
}

// Formulas writes the whole model as text, or as the tables of the
// documentation.
func Formulas(w io.Writer, metric, markdown bool) error {
	sys := model.US
	if metric {
		sys = model.Metric
	}
	m, err := compute.Load(templates.FS, sys)
	if err != nil {
		return err
	}
	if markdown {
		return m.Markdown(w)
	}
	return m.Describe(w)
}

// Cautions are those that stand on every summary, one a line.
func Cautions() ([]string, error) {
	m, err := compute.Load(templates.FS, model.US)
	if err != nil {
		return nil, err
	}
	return m.Cautions, nil
}
