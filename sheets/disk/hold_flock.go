//go:build darwin || linux

package disk

import (
	"os"
	"time"

	"golang.org/x/sys/unix"
)

// holdFolder waits until no other run of this program is putting a file into the
// folder, and keeps others waiting until release is called. Some file systems
// cannot, and no run waits longer than a second for one that hangs: then both
// go on.
func holdFolder(path string) (release func()) {
	dir, err := os.Open(path)
	if err != nil {
		return func() {}
	}
	for range 100 {
		err = unix.Flock(int(dir.Fd()), unix.LOCK_EX|unix.LOCK_NB)
		if err != unix.EWOULDBLOCK && err != unix.EINTR {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	return func() { dir.Close() }
}
