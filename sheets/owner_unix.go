//go:build unix

package sheets

import (
	"os"
	"syscall"
)

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
