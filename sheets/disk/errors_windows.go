package disk

import (
	"errors"
	"os"
	"syscall"
)

// Numbers of winerror.h that package syscall does not name.
const (
	errorWriteProtect     syscall.Errno = 19
	errorSharingViolation syscall.Errno = 32
	errorLockViolation    syscall.Errno = 33
	errorHandleDiskFull   syscall.Errno = 39
	errorDiskFull         syscall.Errno = 112
	errorUserMappedFile   syscall.Errno = 1224
)

// reasonOf sorts an error of the system. A spreadsheet program that holds a
// workbook lets nobody replace it. Windows calls that a sharing violation, or,
// of a rename over it, access that is denied: by then a file was made in the
// folder, and the old one was seen to be writable, so it is not the folder.
func reasonOf(err error) reason {
	var number syscall.Errno
	if !errors.As(err, &number) {
		if errors.Is(err, os.ErrPermission) {
			return notAllowed
		}
		return otherReason
	}
	var rename *os.LinkError
	switch number {
	case errorSharingViolation, errorLockViolation, errorUserMappedFile:
		return heldOpen
	case errorWriteProtect:
		return writeProtected
	case errorDiskFull, errorHandleDiskFull:
		return noRoom
	case syscall.ERROR_ACCESS_DENIED:
		if errors.As(err, &rename) {
			return heldOpen
		}
		return notAllowed
	}
	if errors.Is(err, os.ErrPermission) {
		return notAllowed
	}
	return otherReason
}
