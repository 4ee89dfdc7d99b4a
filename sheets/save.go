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
		return in, nil
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
	case err != nil && !errors.Is(err, os.ErrNotExist):
		return "", err
	}
	if _, err := os.Stat(filepath.Dir(out)); err != nil {
		return "", fmt.Errorf("%s: the folder %s is not there; make it first", out, filepath.Dir(out))
	}
	return out, nil
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
// folder, brought to the disk, then renamed over the old one.
func save(path string, mode os.FileMode, write func(io.Writer) error) (err error) {
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
