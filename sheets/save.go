package sheets

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// OutputName is where the priced workbook goes unless it is said otherwise:
// order.xlsx -> order-priced.xlsx, beside it.
func OutputName(in string) string {
	ext := filepath.Ext(in)
	return strings.TrimSuffix(in, ext) + "-priced" + ext
}

// target settles where an output goes, before anything is worked out.
func target(in, out string, inPlace, force bool) (string, error) {
	switch {
	case inPlace && out != "":
		return "", fmt.Errorf("both an output (%s) and --in-place are given; give one of them", out)
	case inPlace:
		return in, replaceable(in)
	case out == "":
		out = OutputName(in)
	}
	if same(in, out) {
		return "", fmt.Errorf("%s: the output would replace the input; add --in-place if that is meant", out)
	}
	if !strings.EqualFold(filepath.Ext(in), filepath.Ext(out)) {
		return "", fmt.Errorf("%s: the output must end as the input does, in %s: the kind of workbook stays", out, filepath.Ext(in))
	}
	return out, vacant(out, force)
}

// vacant refuses an output that cannot be written, as far as that can be seen
// before anything is worked out.
func vacant(out string, force bool) error {
	st, err := os.Stat(out)
	switch {
	case err == nil && st.IsDir():
		return fmt.Errorf("%s: is a folder; name a file", out)
	case err == nil && !st.Mode().IsRegular():
		return fmt.Errorf("%s: is no file that can be replaced; name a file", out)
	case err == nil && !force:
		return fmt.Errorf("%s: is there already; add --force to replace it, or name another output", out)
	case err == nil:
		return replaceable(out)
	case !errors.Is(err, os.ErrNotExist):
		return unwritten(out, err)
	}
	if _, err := os.Lstat(out); err == nil {
		return fmt.Errorf("%s: is a link that leads to no file; delete it, or name another output", out)
	}
	if st, err := os.Stat(filepath.Dir(out)); err != nil || !st.IsDir() {
		return fmt.Errorf("%s: the folder %s is not there; make it first", out, filepath.Dir(out))
	}
	return nil
}

// replaceable refuses a file that must not be replaced now: one that is open in
// a spreadsheet program, which would write its own copy over ours, or one that
// somebody has made read-only.
func replaceable(path string) error {
	if lock := lockOf(path); lock != "" {
		return fmt.Errorf("%s: is open in a spreadsheet program, which has left %s beside it; close it there first, or delete that file if nobody has it open", path, filepath.Base(lock))
	}
	st, err := os.Stat(path)
	if err != nil || !st.Mode().IsRegular() {
		return nil // said where the workbook is opened
	}
	f, err := os.OpenFile(path, os.O_WRONLY, 0) // the file of another is not replaced either
	if err == nil {
		f.Close()
	}
	if troubleOf(err) == heldOpen {
		return fmt.Errorf("%s: another program has it open; close the workbook there, or name another output", path)
	}
	if st.Mode().Perm()&0o222 == 0 || errors.Is(err, os.ErrPermission) {
		return fmt.Errorf("%s: is read-only; make it writable, or name another output", path)
	}
	return nil
}

// lockOf is the lock file that a spreadsheet program keeps beside a workbook
// while it is open, "" if there is none. A program that followed a link has
// put it beside the link or beside the file.
func lockOf(path string) string {
	paths := []string{path}
	if real, err := filepath.EvalSymlinks(path); err == nil && real != path {
		paths = append(paths, real)
	}
	for _, p := range paths {
		dir, name := filepath.Split(p)
		for _, lock := range []string{"~$" + name, ".~lock." + name + "#"} {
			if _, err := os.Lstat(filepath.Join(dir, lock)); err == nil {
				return filepath.Join(dir, lock)
			}
		}
	}
	return ""
}

func same(a, b string) bool {
	sa, errA := os.Stat(a)
	sb, errB := os.Stat(b)
	if errA == nil && errB == nil {
		return os.SameFile(sa, sb)
	}
	return filepath.Clean(a) == filepath.Clean(b)
}

// trouble is why a system refuses a file, as far as there is something to do
// about it. Each system has numbers of its own for these.
type trouble int

const (
	otherTrouble trouble = iota
	heldOpen             // another program has the file open and shares it with nobody
	notAllowed
	writeProtected
	noRoom
)

// unwritten says why a file cannot be written, and what to do.
func unwritten(path string, err error) error {
	dir := filepath.Dir(path)
	switch troubleOf(err) {
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

// save writes a file whole or not at all: to a temporary file in the same
// folder, brought to the disk, then renamed over the old one. A link stays a
// link: what it leads to is replaced. A file that is replaced hands on its
// permissions and, where the system lets it, its owner; a new one gets mode.
func save(path string, mode os.FileMode, write func(io.Writer) error) (err error) {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".seamtally-*.tmp") // a name of its own could grow too long
	if err != nil {
		return unwritten(path, err)
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
			err = unwritten(path, err)
		}
	}()
	if err = write(f); err != nil {
		return err
	}
	if old, statErr := os.Stat(path); statErr == nil {
		mode = old.Mode().Perm()
		keepOwner(f, old)
	}
	if err = f.Chmod(mode); err != nil {
		return err
	}
	if err = f.Sync(); err != nil {
		return err
	}
	if err = f.Close(); err != nil {
		return err
	}
	if err = os.Rename(f.Name(), path); err != nil {
		return err
	}
	if dir, openErr := os.Open(filepath.Dir(path)); openErr == nil {
		dir.Sync() // best effort: not every system can
		dir.Close()
	}
	return nil
}
