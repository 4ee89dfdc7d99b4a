package sheets

import (
	"fmt"
	"io"
	"os"

	"seamtally/sheets/disk"
	"seamtally/sheets/encryption"
)

// SaveOf saves a workbook that was made of others, as close as they are kept:
// encrypted if one of them is, no weaker than any, and no more permitted. Nothing
// is saved if one of them was changed meanwhile.
func SaveOf(to disk.Output, data []byte, of []*Run) (encrypted bool, err error) {
	mode := os.FileMode(0o777)
	var container encryption.Container
	password := ""
	for _, t := range of {
		mode &= t.Opened.Mode().Perm()
		if t.Container != nil {
			encrypted, password = true, t.Password
			container.Spin = max(container.Spin, t.Container.Spin)
		}
	}
	if encrypted {
		if data, err = container.Encrypt(data, password); err != nil {
			return false, fmt.Errorf("%s: %w", to.Path, err)
		}
	}
	return encrypted, disk.Save(to, mode|0o600, func(w io.Writer) error {
		if _, err := w.Write(data); err != nil {
			return err
		}
		for _, t := range of {
			if err := t.StillTheSame(); err != nil {
				return err
			}
		}
		return nil
	})
}

// SaveOpen saves what was made of the workbook for people without its password. Nothing
// is saved if the workbook was changed meanwhile.
func (r *Run) SaveOpen(to disk.Output, data []byte) error {
	return disk.Save(to, r.Opened.Mode().Perm()|0o600, func(w io.Writer) error {
		if _, err := w.Write(data); err != nil {
			return err
		}
		return r.StillTheSame()
	})
}
