package disk

import (
	"errors"
	"os"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Why a file was not written is said in words that tell what to do. The numbers
// stand for the same on Unix as on Windows, where package syscall has them too.
func TestUnwrittenSaysWhatToDo(t *testing.T) {
	at := func(err error) error { return &os.PathError{Op: "write", Path: "out.xlsx", Err: err} }
	for _, c := range []struct {
		err  error
		says string
	}{
		{at(os.ErrPermission), "out.xlsx: not written: the folder . does not allow it; write to another folder"},
		{at(syscall.EIO), "check the disk and the name"},
		{errors.New("stopped"), "out.xlsx: not written: stopped"},
	} {
		err := unwritten("out.xlsx", c.err)
		assert.ErrorContains(t, err, c.says)
		assert.ErrorIs(t, err, c.err)
	}
}
