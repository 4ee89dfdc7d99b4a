package disk

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What somebody else does to the output while it is worked out: what they have
// written stays, what they have deleted is no loss, and nothing of ours is left.
func TestOutputIsTouchedMeanwhile(t *testing.T) {
	const name = "out.xlsx"
	for what, c := range map[string]struct {
		before string // what is there, "" for nothing
		do     func(path string) error
		says   string // "" for no error
		after  string
	}{
		"nothing": {before: "old", do: func(string) error { return nil }, after: "ours"},
		"new":     {do: func(string) error { return nil }, after: "ours"},
		"comes":   {do: func(p string) error { return os.WriteFile(p, []byte("theirs"), 0o600) }, says: name + " was not there when this began, and is now", after: "theirs"},
		"changes": {before: "old", do: func(p string) error { return os.WriteFile(p, []byte("theirs"), 0o600) }, says: name + " was changed while this ran", after: "theirs"},
		"is replaced": {before: "old", do: func(p string) error {
			if err := os.WriteFile(p+"2", []byte("new"), 0o600); err != nil {
				return err
			}
			return os.Rename(p+"2", p)
		}, says: name + " was changed while this ran", after: "new"},
		"goes":      {before: "old", do: os.Remove, after: "ours"},
		"is opened": {before: "old", do: func(p string) error { return os.WriteFile(lockBeside(p), nil, 0o600) }, says: "is open in a spreadsheet program", after: "old"},
	} {
		path := filepath.Join(t.TempDir(), name)
		if c.before != "" {
			require.NoError(t, os.WriteFile(path, []byte(c.before), 0o600))
		}
		to, err := Vacant(path, true)
		require.NoError(t, err, what)
		err = Save(to, 0o600, func(w io.Writer) error {
			require.NoError(t, c.do(path), what)
			_, err := io.WriteString(w, "ours")
			return err
		})
		if c.says == "" {
			require.NoError(t, err, what)
		} else {
			require.ErrorContains(t, err, c.says, what)
		}
		got, err := os.ReadFile(path)
		require.NoError(t, err, what)
		assert.Equal(t, c.after, string(got), what)
		os.Remove(lockBeside(path))
		all, err := os.ReadDir(filepath.Dir(path))
		require.NoError(t, err)
		assert.Len(t, all, 1, what)
	}
}

// Of runs that write one place at once one does, whose bytes are there then; the
// others say why they did not.
func TestManyAtOnce(t *testing.T) {
	if runtime.GOOS != "linux" && runtime.GOOS != "darwin" {
		t.Skip("elsewhere runs do not wait for one another")
	}
	path := filepath.Join(t.TempDir(), "out.xlsx")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o600))
	for range 200 {
		errs := make([]error, 8)
		var began, done sync.WaitGroup
		began.Add(len(errs))
		for i := range errs {
			to, err := Vacant(path, true)
			require.NoError(t, err)
			done.Go(func() {
				errs[i] = Save(to, 0o600, func(w io.Writer) error {
					began.Done()
					began.Wait()
					_, err := fmt.Fprint(w, "run ", i)
					return err
				})
			})
		}
		done.Wait()
		got, err := os.ReadFile(path)
		require.NoError(t, err)
		written := 0
		for i, err := range errs {
			if err == nil {
				written++
				require.Equal(t, fmt.Sprint("run ", i), string(got))
			} else {
				require.ErrorContains(t, err, "was changed while this ran")
			}
		}
		require.Equal(t, 1, written)
		all, err := os.ReadDir(filepath.Dir(path))
		require.NoError(t, err)
		require.Len(t, all, 1)
	}
}

func lockBeside(path string) string {
	return filepath.Join(filepath.Dir(path), "~$"+filepath.Base(path))
}

// Where a draft must have a name, it is found under none once it is published
// or given up.
func TestNamedDraft(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "out.xlsx")
	for _, publish := range []bool{true, false} {
		f, err := newNamedDraft(dir)
		require.NoError(t, err)
		_, err = io.WriteString(f, "ours")
		require.NoError(t, err)
		if publish {
			require.NoError(t, f.publish(path, true))
		} else {
			f.discard()
		}
		all, err := os.ReadDir(dir)
		require.NoError(t, err)
		require.Len(t, all, 1)
		require.Equal(t, "out.xlsx", all[0].Name())
	}
}
