package tell

import (
	"fmt"
	"io"
	"os"
	"strings"
)

// Progress gives a function that keeps one line of standard error up to date
// with the rows done, and one that wipes it before anything else is said. The
// first is nil, and nothing shows, if standard error is no terminal or the run
// is quiet.
func (v Voice) Progress() (step func(done, total int), wipe func()) {
	if v.Quiet || !terminal(v.Err) {
		return nil, func() {}
	}
	return progress(v.Err)
}

// progress is Progress on a terminal. Only the return to the start of the line
// moves the cursor: every terminal knows it. Errors of writing are passed over,
// as nothing depends on the line.
func progress(w io.Writer) (step func(done, total int), wipe func()) {
	shown := 0
	put := func(text string) {
		pad := max(0, shown-len(text))
		_, _ = fmt.Fprint(w, "\r", text, strings.Repeat(" ", pad))
		shown = len(text)
	}
	step = func(done, total int) { put(fmt.Sprintf("%d of %d rows", done, total)) }
	wipe = func() {
		if shown > 0 {
			put("")
			_, _ = fmt.Fprint(w, "\r")
		}
	}
	return step, wipe
}

// terminal reports whether w is a screen that somebody may be looking at.
func terminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok || os.Getenv("TERM") == "dumb" {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
