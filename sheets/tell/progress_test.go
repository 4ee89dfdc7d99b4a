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
	step, wipe = progress(&e, "rows", func() time.Time { return clock })
	step(10, 2000)
	wipe()
	assert.Empty(t, e.String(), "a short run shows nothing")

	clock = clock.Add(progressAfter)
	step(100, 2000)
	step(101, 2000)
	clock = clock.Add(progressEach)
	step(99, 99)
	wipe()
	assert.Equal(t, []string{"", "100 of 2000 rows", "99 of 99 rows   ", strings.Repeat(" ", len("99 of 99 rows")), ""}, strings.Split(e.String(), "\r"))
}
