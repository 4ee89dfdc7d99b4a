package book

import (
	"errors"
	"os"

	"seamtally/sheets/disk"
	"seamtally/sheets/encryption"
)

// shopFile is the file of a workbook, and how it is encrypted.
type shopFile struct {
	File      *os.File
	Opened    os.FileInfo // the file when it was opened
	Password  string
	Container *encryption.Container // of an encrypted file
}

// Close lets go of the file.
func (f *shopFile) Close() { f.File.Close() }

// StillTheSame fails if the workbook was written to, or replaced by another,
// since it was opened: what was read may be of both, and what somebody has
// saved meanwhile must not be written over.
func (f *shopFile) StillTheSame() error {
	now, err := os.Stat(f.File.Name())
	if err == nil && disk.SameState(f.Opened, now) {
		return nil
	}
	return errors.New("the workbook was changed while it was being read; run it again")
}
