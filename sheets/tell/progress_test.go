package tell

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// Progress shows where there is a terminal, of runs that last, not at every
// step, and is wiped.
func TestProgress(t *testing.T) {
	var e bytes.Buffer
	step, wipe := Voice{Err: &e}.Progress()
	assert.Nil(t, step, "no progress where no terminal is")
	wipe()
	assert.Empty(t, e.String())

	clock := time.Unix(0, 0)
	line := newProgress(&e, func() time.Time { return clock })
	line.step("rows", 10, 2000)
	line.tick()
	line.wipe()
	assert.Empty(t, e.String(), "a short run shows nothing")

	clock = clock.Add(progressAfter)
	line.step("rows", 100, 2000)
	line.step("rows", 101, 2000)
	clock = clock.Add(progressEach)
	line.step("adding up", 0, 0)
	line.wipe()
	assert.Equal(t, []string{"", "100 of 2000 rows", "adding up       ", strings.Repeat(" ", len("adding up")), ""}, strings.Split(e.String(), "\r"))
}

// Where no step is heard of, what the run is at shows as soon as any progress does;
// after a while the line says that the run goes on.
func TestProgressWithoutSteps(t *testing.T) {
	var e bytes.Buffer
	clock := time.Unix(0, 0)
	line := newProgress(&e, func() time.Time { return clock })
	at := func(second float64) {
		clock = time.Unix(0, int64(second*1e9))
		line.tick()
	}
	at(0.9)
	assert.Empty(t, e.String())
	at(1)
	assert.Equal(t, "\rreading the workbook", e.String())
	at(2)
	at(3)
	line.step("rows", 2000, 2000) // within a tenth of a second: it waits for the next tick
	at(3.1)
	at(5)
	line.wipe()
	assert.Equal(t, []string{"", "reading the workbook", "reading the workbook; working, 2 s", "reading the workbook; working, 3 s", "2000 of 2000 rows                 ",
		"2000 of 2000 rows; working, 5 s", strings.Repeat(" ", 31), ""}, strings.Split(e.String(), "\r"))
}
