package tell

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
	"time"

	"seamtally/sheets/progress"
)

// A run that is over within progressAfter shows no progress; a longer one shows
// it anew after progressEach.
const (
	progressAfter = time.Second
	progressEach  = time.Second / 10
	// progressSilent is for how long nothing is heard of before the line says so.
	progressSilent = 2 * time.Second
)

// Progress gives a function that keeps one line of standard error up to date
// with what a run is at ("1200 of 8000 rows", "reading the workbook"), and one that
// wipes it before anything else is said. Where nothing is heard of for a while, the line
// says for how long the run has been at work. The first is nil, and nothing shows, if
// standard error is no terminal or the run is quiet.
func (v Voice) Progress() (step progress.Tell, wipe func()) {
	if v.Quiet || !terminal(v.Err) {
		return nil, func() {}
	}
	l := newProgress(v.Err, time.Now)
	stop := make(chan struct{})
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		ticks := time.NewTicker(progressEach)
		defer ticks.Stop()
		for {
			select {
			case <-ticks.C:
				l.tick()
			case <-stop:
				return
			}
		}
	}()
	return l.step, sync.OnceFunc(func() {
		close(stop)
		<-ended
		l.wipe()
	})
}

// progressLine is the line on a terminal. Only the return to the start of the line
// moves the cursor: every terminal knows it. Errors of writing are passed over,
// as nothing depends on the line.
type progressLine struct {
	sync.Mutex
	w     io.Writer
	now   func() time.Time
	began time.Time
	heard time.Time // of a step, or of the beginning
	next  time.Time
	said  string // by the last step
	shown int
	text  string // that is shown
}

func newProgress(w io.Writer, now func() time.Time) *progressLine {
	at := now()
	return &progressLine{w: w, now: now, began: at, heard: at, next: at.Add(progressAfter), said: "reading the workbook"}
}

func (l *progressLine) put(text string) {
	if text == l.text {
		return
	}
	l.text = text
	pad := max(0, l.shown-len(text))
	_, _ = fmt.Fprint(l.w, "\r", text, strings.Repeat(" ", pad))
	l.shown = len(text)
}

func (l *progressLine) step(what string, done, total int) {
	l.Lock()
	defer l.Unlock()
	l.said, l.heard = what, l.now()
	if total > 0 {
		l.said = fmt.Sprintf("%d of %d %s", done, total, what)
	}
	l.show(l.heard)
}

// tick shows what the last step has said, and that the run goes on where none says so.
func (l *progressLine) tick() {
	l.Lock()
	defer l.Unlock()
	l.show(l.now())
}

func (l *progressLine) show(at time.Time) {
	if at.Before(l.next) {
		return
	}
	l.next = at.Add(progressEach)
	if at.Sub(l.heard) < progressSilent {
		l.put(l.said)
		return
	}
	l.put(fmt.Sprintf("%s; working, %d s", l.said, int(at.Sub(l.began).Seconds())))
}

func (l *progressLine) wipe() {
	l.Lock()
	defer l.Unlock()
	if l.shown > 0 {
		l.put("")
		_, _ = fmt.Fprint(l.w, "\r")
	}
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
