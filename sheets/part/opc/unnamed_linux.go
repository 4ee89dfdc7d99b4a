package opc

import (
	"os"
	"path/filepath"

	"golang.org/x/sys/unix"
)

// Unnamed opens a new file that has no name in the folder, so that it goes with
// the program, whatever ends that. Some file systems cannot: ok is false.
func Unnamed(dir string) (f *os.File, ok bool) {
	fd, err := unix.Open(dir, unix.O_TMPFILE|unix.O_RDWR|unix.O_CLOEXEC, 0o600)
	if err != nil {
		return nil, false
	}
	return os.NewFile(uintptr(fd), filepath.Join(dir, "unnamed")), true
}
