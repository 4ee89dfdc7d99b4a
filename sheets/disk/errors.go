package disk

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// reason is why a system refuses a file, as far as there is something to do
// about it. Each system has numbers of its own for these.
type reason int

const (
	otherReason reason = iota
	heldOpen           // another program has the file open and shares it with nobody
	notAllowed
	writeProtected
	noRoom
)

// InUse reports whether an error says that another program has the file open,
// and shares it with nobody.
func InUse(err error) bool { return reasonOf(err) == heldOpen }

// unwritten says why a file cannot be written, and what to do.
func unwritten(path string, err error) error {
	dir := filepath.Dir(path)
	switch reasonOf(err) {
	case heldOpen:
		return fmt.Errorf("%s: not written: another program has it open; close the workbook there and run this again, or name another output (%w)", path, err)
	case notAllowed:
		return fmt.Errorf("%s: not written: the folder %s does not allow it; write to another folder, or have this one made writable (%w)", path, dir, err)
	case writeProtected:
		return fmt.Errorf("%s: not written: the disk is read-only; write to another (%w)", path, err)
	case noRoom:
		return fmt.Errorf("%s: not written: there is no room left for it; make room, or write to another disk (%w)", path, err)
	}
	var file *os.PathError
	if errors.As(err, &file) {
		return fmt.Errorf("%s: not written: %w; check the disk and the name", path, err)
	}
	return fmt.Errorf("%s: not written: %w", path, err)
}
