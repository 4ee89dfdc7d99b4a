package disk

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// OutputName is where an output goes unless it is said otherwise:
// order.xlsx -> order-priced.xlsx, beside it; list.csv -> list-priced.xlsx.
func OutputName(in string) string {
	return strings.TrimSuffix(in, filepath.Ext(in)) + "-priced" + kindOf(in)
}

// IsList reports whether a file is a list of separated values, by its name.
func IsList(path string) bool {
	ext := strings.ToLower(filepath.Ext(path))
	return ext == ".csv" || ext == ".tsv"
}

// kindOf is the ending of what becomes of a file: a list becomes a workbook.
func kindOf(in string) string {
	if IsList(in) {
		return ".xlsx"
	}
	return filepath.Ext(in)
}

// Output is where an output goes, and the file that was there when that was
// settled, nil for none: what comes there later is somebody else's.
type Output struct {
	Path string
	was  os.FileInfo
}

// outputAt is a place as it is now.
func outputAt(path string) Output {
	was, _ := os.Stat(path)
	return Output{path, was}
}

// stillAsItWas refuses a place where somebody has written, or which a
// spreadsheet program has opened, while the output was worked out.
func (o Output) stillAsItWas() error {
	now := outputAt(o.Path).was
	switch {
	case LockOf(o.Path) != "":
		return replaceable(o.Path)
	case o.was == nil && now == nil:
		return nil
	case o.was == nil:
		return o.taken()
	case now == nil:
		return nil // deleted: there is nothing to lose
	case SameState(o.was, now):
		return nil
	}
	return fmt.Errorf("%s was changed while this ran, and is left as it is now; run this again", o.Path)
}

func (o Output) taken() error {
	return fmt.Errorf("%s was not there when this began, and is now: somebody else has written it; add --force to replace it, or name another output", o.Path)
}

// SameState says whether a file is the same and nobody has written to it.
func SameState(was, now os.FileInfo) bool {
	return os.SameFile(was, now) && was.Size() == now.Size() && was.ModTime().Equal(now.ModTime())
}

// Target settles where an output goes, before anything is worked out.
func Target(in, out string, inPlace, force bool) (Output, error) {
	path, err := aimed(in, out, inPlace)
	if err != nil {
		return Output{}, err
	}
	if inPlace {
		return outputAt(in), replaceable(in)
	}
	return Vacant(path, force)
}

// Aim is Target for a run that may be dry: one that writes nothing goes on where a
// file is there already, or is held.
func Aim(in, out string, inPlace, force, dry bool) (Output, error) {
	if !dry {
		return Target(in, out, inPlace, force)
	}
	path, err := aimed(in, out, inPlace)
	if err != nil {
		return Output{}, err
	}
	if to := outputAt(path); to.was != nil && to.was.Mode().IsRegular() {
		return to, nil
	}
	return Vacant(path, force)
}

// Stands reports whether a file is there already.
func (o Output) Stands() bool { return o.was != nil }

// aimed is the name of the output.
func aimed(in, out string, inPlace bool) (string, error) {
	switch {
	case inPlace && out != "":
		return "", fmt.Errorf("both an output (%s) and --in-place are given; give one of them", out)
	case inPlace && IsList(in):
		return "", fmt.Errorf("%s: is a list and no workbook, so nothing is written into it; leave --in-place out", in)
	case inPlace:
		return in, nil
	case out == "":
		out = OutputName(in)
	}
	if SameFile(in, out) {
		return "", fmt.Errorf("%s: the output would replace the input; add --in-place if that is meant", out)
	}
	if IsList(in) && !strings.EqualFold(filepath.Ext(out), ".xlsx") {
		return "", fmt.Errorf("%s: a list becomes an .xlsx; give the output that ending", out)
	}
	if !strings.EqualFold(kindOf(in), filepath.Ext(out)) {
		return "", fmt.Errorf("%s: the output must end as the input does, in %s: the kind of workbook stays", out, filepath.Ext(in))
	}
	return out, nil
}

// Apart is where a new workbook goes that is made of others, and is none of them. The
// words say what it is ("an offer is"), and what it would replace.
func Apart(out string, force bool, is, replaces string, of ...string) (Output, error) {
	if !strings.EqualFold(filepath.Ext(out), ".xlsx") {
		return Output{}, fmt.Errorf("%s: %s an .xlsx; give the file that ending", out, is)
	}
	for _, path := range of {
		if SameFile(out, path) {
			return Output{}, fmt.Errorf("%s: %s; name another", out, replaces)
		}
	}
	return Vacant(out, force)
}

// Vacant refuses an output that cannot be written, as far as that can be seen
// before anything is worked out.
func Vacant(out string, force bool) (Output, error) {
	st, err := os.Stat(out)
	to := Output{out, st}
	switch {
	case err == nil && st.IsDir():
		return to, fmt.Errorf("%s: is a folder; name a file", out)
	case err == nil && !st.Mode().IsRegular():
		return to, fmt.Errorf("%s: is no file that can be replaced; name a file", out)
	case err == nil && !force:
		return to, fmt.Errorf("%s: is there already; add --force to replace it, or name another output", out)
	case err == nil:
		return to, replaceable(out)
	case !errors.Is(err, os.ErrNotExist):
		return to, unwritten(out, err)
	}
	if _, err := os.Lstat(out); err == nil {
		return to, fmt.Errorf("%s: is a link that leads to no file; delete it, or name another output", out)
	}
	if st, err := os.Stat(filepath.Dir(out)); err != nil || !st.IsDir() {
		return to, fmt.Errorf("%s: the folder %s is not there; make it first", out, filepath.Dir(out))
	}
	return to, nil
}

// replaceable refuses a file that must not be replaced now: one that is open in
// a spreadsheet program, which would write its own copy over ours, or one that
// somebody has made read-only.
func replaceable(path string) error {
	if lock := LockOf(path); lock != "" {
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
	if InUse(err) {
		return fmt.Errorf("%s: another program has it open; close the workbook there, or name another output", path)
	}
	if st.Mode().Perm()&0o222 == 0 || errors.Is(err, os.ErrPermission) {
		return fmt.Errorf("%s: is read-only; make it writable, or name another output", path)
	}
	return nil
}

// LockOf is the lock file that a spreadsheet program keeps beside a workbook
// while it is open, "" if there is none. A program that followed a link has
// put it beside the link or beside the file.
func LockOf(path string) string {
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

// SameFile reports whether two names are of one file, or will be.
func SameFile(a, b string) bool {
	sa, errA := os.Stat(a)
	sb, errB := os.Stat(b)
	if errA == nil && errB == nil {
		return os.SameFile(sa, sb)
	}
	return filepath.Clean(a) == filepath.Clean(b)
}
