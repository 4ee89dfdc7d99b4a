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
	step, wipe := Voice{Err: &e}.Progress("rows")
	assert.Nil(t, step, "no progress where no terminal is")
	wipe()
	assert.Empty(t, e.String())

	clock := time.Unix(0, 0)
	line := newProgress(&e, "rows", func() time.Time { return clock })
	line.step(10, 2000)
	line.tick()
	line.wipe()
	assert.Empty(t, e.String(), "a short run shows nothing")

	clock = clock.Add(progressAfter)
	line.step(100, 2000)
	line.step(101, 2000)
	clock = clock.Add(progressEach)
	line.step(99, 99)
	line.wipe()
	assert.Equal(t, []string{"", "100 of 2000 rows", "99 of 99 rows   ", strings.Repeat(" ", len("99 of 99 rows")), ""}, strings.Split(e.String(), "\r"))
}

// Where no step is heard of for a while, the line says that the run goes on.
func TestProgressWithoutSteps(t *testing.T) {
	var e bytes.Buffer
	clock := time.Unix(0, 0)
	line := newProgress(&e, "rows", func() time.Time { return clock })
	clock = clock.Add(progressSilent - 1)
	line.tick()
	assert.Empty(t, e.String())
	clock = clock.Add(1)
	line.tick()
	assert.Equal(t, "\rworking, 2 s", e.String())
	line.step(2000, 2000)
	clock = clock.Add(progressSilent)
	line.tick()
	line.wipe()
	assert.Equal(t, []string{"", "working, 2 s", "2000 of 2000 rows", "2000 of 2000 rows; working, 4 s", strings.Repeat(" ", 31), ""}, strings.Split(e.String(), "\r"))
}
