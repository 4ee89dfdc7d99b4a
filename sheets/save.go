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
	st, err := os.Stat(out)
	switch {
	case err == nil && st.IsDir():
		return "", fmt.Errorf("%s: is a folder; name a file", out)
	case err == nil && !force:
		return "", fmt.Errorf("%s: is there already; add --force to replace it, or name another with -o", out)
	case err == nil:
		return out, replaceable(out)
	case err != nil && !errors.Is(err, os.ErrNotExist):
		return "", err
	}
	if _, err := os.Stat(filepath.Dir(out)); err != nil {
		return "", fmt.Errorf("%s: the folder %s is not there; make it first", out, filepath.Dir(out))
	}
	return out, nil
}

// replaceable refuses a file that must not be replaced now: one that is open in
// a spreadsheet program, which would write its own copy over ours, or one that
// somebody has made read-only.
func replaceable(path string) error {
	if lock := lockOf(path); lock != "" {
		return fmt.Errorf("%s: is open in a spreadsheet program, which has left %s beside it; close it there first, or delete that file if nobody has it open", path, filepath.Base(lock))
	}
	if st, err := os.Stat(path); err == nil && st.Mode().Perm()&0o222 == 0 {
		return fmt.Errorf("%s: is read-only; make it writable, or name another output with -o", path)
	}
	return nil
}

// lockOf is the lock file that a spreadsheet program keeps beside a workbook
// while it is open, "" if there is none.
func lockOf(path string) string {
	dir, name := filepath.Split(path)
	for _, lock := range []string{"~$" + name, ".~lock." + name + "#"} {
		if _, err := os.Lstat(filepath.Join(dir, lock)); err == nil {
			return filepath.Join(dir, lock)
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

// save writes a file whole or not at all: to a temporary file in the same
// folder, brought to the disk, then renamed over the old one. A link stays a
// link: what it leads to is replaced.
func save(path string, mode os.FileMode, write func(io.Writer) error) (err error) {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"-*")
	if err != nil {
		return fmt.Errorf("%s: cannot be written: %w", path, err)
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
			err = fmt.Errorf("%s: not written: %w", path, err)
		}
	}()
	if err = write(f); err != nil {
		return err
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
