//go:build !windows

package disk

import (
	"errors"
	"os"
	"syscall"
)

// reasonOf sorts an error of the system. A file that is open can be replaced
// here, so none is held.
func reasonOf(err error) reason {
	switch {
	case errors.Is(err, os.ErrPermission):
		return notAllowed
	case errors.Is(err, syscall.EROFS):
		return writeProtected
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT), errors.Is(err, syscall.EFBIG):
		return noRoom
	}
	return otherReason
}
