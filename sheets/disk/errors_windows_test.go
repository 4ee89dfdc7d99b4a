package disk

import (
	"os"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The numbers are those of winerror.h, as the documentation of Windows lists
// them under "System Error Codes".
func TestReasonOf(t *testing.T) {
	renamed := func(e syscall.Errno) error { return &os.LinkError{Op: "rename", Old: "a", New: "b", Err: e} }
	opened := func(e syscall.Errno) error { return &os.PathError{Op: "open", Path: "b", Err: e} }
	for _, c := range []struct {
		err  error
		want reason
	}{
		{renamed(32), heldOpen}, {renamed(5), heldOpen}, {opened(32), heldOpen}, {opened(33), heldOpen}, {renamed(1224), heldOpen},
		{opened(5), notAllowed}, {opened(19), writeProtected}, {opened(112), noRoom}, {opened(39), noRoom},
		{opened(2), otherReason}, {nil, otherReason},
	} {
		assert.Equal(t, c.want, reasonOf(c.err), "%v", c.err)
	}
}
