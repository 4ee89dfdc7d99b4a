//go:build !windows

package sheets

import (
	"errors"
	"os"
	"syscall"
)

// troubleOf sorts an error of the system. A file that is open can be replaced
// here, so none is held.
func troubleOf(err error) trouble {
	switch {
	case errors.Is(err, os.ErrPermission):
		return notAllowed
	case errors.Is(err, syscall.EROFS):
		return writeProtected
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT), errors.Is(err, syscall.EFBIG):
		return noRoom
	}
	return otherTrouble
}
