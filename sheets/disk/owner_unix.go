//go:build unix

package disk

import (
	"os"
	"syscall"
)

// OtherNames reports whether the file has further names (hard links) on its
// disk, which go on to mean the old contents when it is replaced.
func OtherNames(st os.FileInfo) bool {
	s, ok := st.Sys().(*syscall.Stat_t)
	return ok && s.Nlink > 1
}

// keepOwner gives f the owner and the group of the file that it replaces, or
// the group alone. Only some may do that; for the others the file becomes their
// own.
func keepOwner(f *os.File, old os.FileInfo) {
	st, ok := old.Sys().(*syscall.Stat_t)
	if !ok {
		return
	}
	if f.Chown(int(st.Uid), int(st.Gid)) != nil {
		_ = f.Chown(-1, int(st.Gid))
	}
}
