package disk

import (
	"errors"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"strings"

	"golang.org/x/sys/unix"

	"seamtally/sheets/part/opc"
)

// newDraft makes a file without a name. Some file systems cannot, and no name
// can be given to it where /proc is not mounted: there it gets one.
func newDraft(dir string) (*draft, error) {
	file, ok := opc.Unnamed(dir)
	if !ok {
		return newNamedDraft(dir)
	}
	f := &draft{File: file}
	if _, err := os.Stat(f.descriptor()); err != nil {
		f.discard()
		return newNamedDraft(dir)
	}
	return f, nil
}

// descriptor is the name that open files have here.
func (f *draft) descriptor() string { return fmt.Sprintf("/proc/self/fd/%d", f.Fd()) }

// publish puts the draft in its place and closes it. Without replace, a file
// that is there by then is left, and the error is an [os.ErrExist].
func (f *draft) publish(path string, replace bool) (err error) {
	if f.named {
		return f.rename(path)
	}
	if !replace {
		if err := f.link(path); err != nil {
			return err
		}
		return f.Close()
	}
	// Only a file that has a name can take another's place. A run that is killed
	// between the two leaves that name behind, so it is always the same for a
	// place: the next run, which alone holds the folder, takes it away.
	name := filepath.Join(filepath.Dir(path), strings.Replace(draftNames, "*", fmt.Sprintf("%08x", crc32.ChecksumIEEE([]byte(filepath.Base(path)))), 1))
	if err = f.link(name); errors.Is(err, os.ErrExist) {
		os.Remove(name)
		err = f.link(name)
	}
	if err != nil {
		return err
	}
	if err = os.Rename(name, path); err != nil {
		os.Remove(name)
		return err
	}
	return f.Close()
}

// link gives the file a name.
func (f *draft) link(path string) error {
	if err := unix.Linkat(unix.AT_FDCWD, f.descriptor(), unix.AT_FDCWD, path, unix.AT_SYMLINK_FOLLOW); err != nil {
		return &os.LinkError{Op: "link", Old: f.Name(), New: path, Err: err}
	}
	return nil
}
