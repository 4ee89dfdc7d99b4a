package sheets_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest/shop"
)

// nobody is a user without rights of its own.
const nobody = 65534

// asNobody does something with the rights of nobody, which root can take on
// for the thread (setfsuid(2)); anybody else has no such rights to begin with.
func asNobody(do func()) {
	if os.Geteuid() == 0 {
		runtime.LockOSThread()
		defer runtime.UnlockOSThread()
		for _, call := range []struct{ nr, id, back uintptr }{
			{syscall.SYS_SETFSGID, nobody, uintptr(os.Getegid())}, {syscall.SYS_SETFSUID, nobody, uintptr(os.Geteuid())},
		} {
			_, _, _ = syscall.RawSyscall(call.nr, call.id, 0, 0)
			defer func() { _, _, _ = syscall.RawSyscall(call.nr, call.back, 0, 0) }()
		}
	}
	do()
}

// A file that may not be read, a folder and a file that may not be written.
func TestNoPermission(t *testing.T) {
	temp := t.TempDir()
	require.NoError(t, os.Chmod(temp, 0o777))
	t.Setenv("TMPDIR", temp)
	for _, c := range []struct {
		what         string
		file, folder os.FileMode
		inPlace      bool
		says         string
	}{
		{"reading", 0o000, 0o755, false, "permission denied"},
		{"writing beside it", 0o444, 0o555, false, "order-priced.xlsx: not written: the folder "},
		{"in place", 0o644, 0o777, true, "order.xlsx: is read-only; make it writable"},
	} {
		if os.Geteuid() != 0 && c.inPlace {
			continue // the file would have to be somebody else's
		}
		path := inFolder(t)
		require.NoError(t, os.Chmod(filepath.Dir(filepath.Dir(path)), 0o755))
		require.NoError(t, os.Chmod(path, c.file))
		require.NoError(t, os.Chmod(filepath.Dir(path), c.folder))
		var err error
		asNobody(func() {
			_, err = sheets.Price(t.Context(), sheets.PriceOptions{In: path, InPlace: c.inPlace})
		})
		require.ErrorContains(t, err, c.says, c.what)
		assert.ErrorIs(t, orPermission(err), os.ErrPermission, c.what)
		require.NoError(t, os.Chmod(filepath.Dir(path), 0o755))
		assert.Equal(t, []string{"order.xlsx"}, shop.FilesIn(t, filepath.Dir(path)), c.what)
		assert.Empty(t, shop.FilesIn(t, temp), c.what)
	}
}

// orPermission lets an error pass that is a message of ours and wraps nothing.
func orPermission(err error) error {
	if _, wraps := err.(interface{ Unwrap() error }); wraps {
		return err
	}
	return os.ErrPermission
}

// A disk that fills up leaves neither a part of the output nor litter, whether
// it is the disk of the output or that of the temporary files.
func TestDiskFull(t *testing.T) {
	disk := t.TempDir()
	if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, "size=16k"); err != nil {
		t.Skipf("no small disk can be mounted here: %v", err)
	}
	defer func() { assert.NoError(t, syscall.Unmount(disk, 0)) }()

	temp := t.TempDir()
	t.Setenv("TMPDIR", temp)
	out := filepath.Join(disk, "out.xlsx")
	_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: shop.Unpriced(t, "order.xlsx"), Out: out})
	require.ErrorContains(t, err, out+": not written: there is no room left for it; make room")
	assert.Empty(t, shop.FilesIn(t, disk))
	assert.Empty(t, shop.FilesIn(t, temp))

	t.Setenv("TMPDIR", disk)
	path := inFolder(t)
	_, err = sheets.Price(t.Context(), sheets.PriceOptions{In: path})
	require.ErrorContains(t, err, "no temporary file in "+disk)
	require.ErrorContains(t, err, "; make room there, or set TMPDIR")
	assert.Empty(t, shop.FilesIn(t, disk))
	assert.Equal(t, []string{"order.xlsx"}, shop.FilesIn(t, filepath.Dir(path)))
}

// A disk that fills up at any place of the output leaves the old workbook whole.
func TestDiskFullAnywhere(t *testing.T) {
	old := shop.Content(t, shop.Unpriced(t, "order.xlsx"))
	want, _ := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
	new, wrote := shop.Content(t, want), 0
	t.Setenv("TMPDIR", t.TempDir())
	for kept := 4 << 10; kept < 400<<10; kept += 36 << 10 {
		disk := t.TempDir()
		if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, fmt.Sprintf("size=%d", len(old)+kept)); err != nil {
			t.Skipf("no small disk can be mounted here: %v", err)
		}
		path := filepath.Join(disk, "order.xlsx")
		require.NoError(t, os.WriteFile(path, []byte(old), 0o600))
		_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: path, InPlace: true})
		if err == nil {
			wrote++
			assert.Equal(t, new, shop.Content(t, path))
		} else {
			require.ErrorContains(t, err, "there is no room left for it")
			assert.Equal(t, old, shop.Content(t, path))
		}
		assert.Equal(t, []string{"order.xlsx"}, shop.FilesIn(t, disk))
		require.NoError(t, syscall.Unmount(disk, 0))
	}
	assert.NotZero(t, wrote, "the largest disk has room for it")
}

// A limit on the size of files is met in the same way. It holds for the whole
// process, and so for what the test runner writes: hence a process of its own.
func TestFileSizeLimit(t *testing.T) {
	const alone = "SEAMTALLY_TEST_ALONE"
	if os.Getenv(alone) == "" {
		cmd := exec.CommandContext(t.Context(), os.Args[0], "-test.run=^TestFileSizeLimit$", "-test.v")
		cmd.Env = append(os.Environ(), alone+"=1")
		said, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s", said)
		require.Contains(t, string(said), "--- PASS: TestFileSizeLimit")
		return
	}
	path := inFolder(t)
	temp := t.TempDir()
	t.Setenv("TMPDIR", temp)
	var was syscall.Rlimit
	require.NoError(t, syscall.Getrlimit(syscall.RLIMIT_FSIZE, &was))
	require.NoError(t, syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: 60 << 10, Max: was.Max}))
	_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: path})
	require.NoError(t, syscall.Setrlimit(syscall.RLIMIT_FSIZE, &was))
	require.ErrorIs(t, err, syscall.EFBIG)
	require.ErrorContains(t, err, "make room")
	assert.Equal(t, []string{"order.xlsx"}, shop.FilesIn(t, filepath.Dir(path)))
	assert.Empty(t, shop.FilesIn(t, temp))
}

// A file that is replaced hands on its owner and permissions, whoever replaces
// it.
func TestOwnerIsKept(t *testing.T) {
	if os.Geteuid() != 0 {
		t.Skip("only root may give a file away")
	}
	path := inFolder(t)
	require.NoError(t, os.Chown(path, nobody, nobody))
	require.NoError(t, os.Chmod(path, 0o660))
	_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: path, InPlace: true})
	require.NoError(t, err)
	st, err := os.Stat(path)
	require.NoError(t, err)
	owner := st.Sys().(*syscall.Stat_t)
	assert.Equal(t, []uint32{nobody, nobody}, []uint32{owner.Uid, owner.Gid})
	assert.Equal(t, os.FileMode(0o660), st.Mode().Perm())
}

// A second name of a file that is replaced keeps the old workbook, and that is
// said.
func TestHardLinkIsTold(t *testing.T) {
	path := inFolder(t)
	other := filepath.Join(t.TempDir(), "other.xlsx")
	require.NoError(t, os.Link(path, other))
	old := shop.Content(t, other)
	rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: path, InPlace: true})
	require.NoError(t, err)
	assert.True(t, shop.HasFinding(rep, "order.xlsx", "second name"))
	assert.Equal(t, old, shop.Content(t, other))
	rep, err = sheets.Price(t.Context(), sheets.PriceOptions{In: path, InPlace: true})
	require.NoError(t, err)
	assert.False(t, shop.HasFinding(rep, "order.xlsx", "second name"))
}
