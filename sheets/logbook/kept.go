package logbook

import (
	"encoding/json"
	"fmt"
	"hash/fnv"
	"strings"

	"seamtally/sheets/part/worksheet"
)

// StateKept lines of the record have results of the last run that take long to find,
// and what they were found from: a run that begins from the same need not find them
// anew.
const StateKept = "Found"

// Names of what is kept.
const (
	KeptCutList = "cut list"
	KeptTrials  = "trials"
)

// keptNames are the names of all that is kept, in their order.
func keptNames() []string { return []string{KeptCutList, KeptTrials} }

// DigestOf is the digest of values, in hexadecimal digits.
func DigestOf(values ...any) string {
	h := fnv.New64a() // it need not withstand anybody
	for _, x := range values {
		fmt.Fprintf(h, "%v\x00", x)
	}
	return fmt.Sprintf("%016x", h.Sum64())
}

// AllFigures is a digest of all that this run's figures come from: whatever is found
// from figures alone is the same under the same.
func (r *Log) AllFigures() string {
	var of []any
	for _, s := range r.Now {
		if !s.noFigure() {
			of = append(of, s.What, s.Name, s.Value)
		}
	}
	return DigestOf(of...)
}

// Recall has what the last run has kept under a name, if it was found from the same,
// and keeps it; from is a digest of what it is found from.
func (r *Log) Recall(name, from string, into any) bool {
	for _, s := range r.ReadState() {
		if s.What != StateKept || s.Name != name {
			continue
		}
		head, kept, _ := strings.Cut(s.Value, " ")
		if head == DigestOf(from, kept) && json.Unmarshal([]byte(kept), into) == nil { // a record that was typed over is none
			r.keep(name, s.Value)
			return true
		}
	}
	return false
}

// Keep keeps what this run has found. What no cell can hold is found anew every time.
func (r *Log) Keep(name, from string, what any) {
	if text, err := json.Marshal(what); err == nil { // an amount may be no number
		r.keep(name, DigestOf(from, string(text))+" "+string(text))
	}
}

func (r *Log) keep(name, value string) {
	for i, s := range r.Now {
		if s.What == StateKept && s.Name == name && len(value) <= worksheet.MaxCellText {
			r.Now[i].Value = value
		}
	}
}
