package disk

import (
	"errors"
	"io"
	"os"
	"path/filepath"
)

// Save writes a file whole or not at all: to a temporary file in the same
// folder, brought to the disk, then put in the old one's place. A link stays a
// link: what it leads to is replaced. A file that is replaced hands on its
// permissions and, where the system lets it, its owner; a new one gets mode.
// What somebody else has put there meanwhile is left alone.
func Save(to Output, mode os.FileMode, write func(io.Writer) error) (err error) {
	path := to.Path
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	f, err := newDraft(filepath.Dir(path))
	if err != nil {
		return unwritten(path, err)
	}
	defer func() {
		if err != nil {
			f.discard()
			err = unwritten(path, err)
		}
	}()
	if err = write(f); err != nil {
		return err
	}
	if old, statErr := os.Stat(path); statErr == nil {
		mode = old.Mode().Perm()
		keepOwner(f.File, old)
	}
	if err = f.Chmod(mode); err != nil {
		return err
	}
	if err = f.Sync(); err != nil {
		return err
	}
	// Of two runs that write one place at once, the second is to see what the first
	// has put there.
	defer holdFolder(filepath.Dir(path))()
	if err = to.stillAsItWas(); err != nil {
		return err
	}
	if err = f.publish(path, to.was != nil); errors.Is(err, os.ErrExist) {
		return to.taken()
	} else if err != nil {
		return err
	}
	if dir, openErr := os.Open(filepath.Dir(path)); openErr == nil {
		dir.Sync() // best effort: not every system can
		dir.Close()
	}
	return nil
}

// draft is a file that is not yet where it is to be. Where the system can, it
// has no name until then, and goes with the program whatever ends that.
type draft struct {
	*os.File
	named bool
}

// draftNames are those of drafts that need one: hidden, and short, since a name
// made of the output's own could grow too long.
const draftNames = ".seamtally-*.tmp"

func newNamedDraft(dir string) (*draft, error) {
	f, err := os.CreateTemp(dir, draftNames)
	if err != nil {
		return nil, err
	}
	return &draft{File: f, named: true}, nil
}

// discard ends a draft that has not been published.
func (f *draft) discard() {
	f.Close()
	if f.named {
		os.Remove(f.Name())
	}
}

// rename publishes a draft that has a name. On Windows a file must be closed for
// that.
func (f *draft) rename(path string) error {
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}
