package tell

import (
	"fmt"
	"io"
	"os"
	"strings"
	"time"
)

// A run that is over within progressAfter shows no progress; a longer one shows
// it anew after progressEach.
const (
	progressAfter = time.Second
	progressEach  = time.Second / 10
)

// Progress gives a function that keeps one line of standard error up to date
// with how many of the things are done ("1200 of 8000 rows"), and one that wipes
// it before anything else is said. The first is nil, and nothing shows, if
// standard error is no terminal or the run is quiet.
func (v Voice) Progress(things string) (step func(done, total int), wipe func()) {
	if v.Quiet || !terminal(v.Err) {
		return nil, func() {}
	}
	return progress(v.Err, things, time.Now)
}

// progress is Progress on a terminal. Only the return to the start of the line
// moves the cursor: every terminal knows it. Errors of writing are passed over,
// as nothing depends on the line.
func progress(w io.Writer, things string, now func() time.Time) (step func(done, total int), wipe func()) {
	shown := 0
	put := func(text string) {
		pad := max(0, shown-len(text))
		_, _ = fmt.Fprint(w, "\r", text, strings.Repeat(" ", pad))
		shown = len(text)
	}
	next := now().Add(progressAfter)
	step = func(done, total int) {
		if at := now(); !at.Before(next) {
			next = at.Add(progressEach)
			put(fmt.Sprintf("%d of %d %s", done, total, things))
		}
	}
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
