package compute

import (
	"encoding/binary"
	"math"
)

// Memory works lines out with an engine, but one that is like an earlier line
// gets its figures: shops make the same few joints again and again. Values of
// the engine must not change otherwise meanwhile. It is for one goroutine.
type Memory struct {
	e    *Engine
	seen map[string]*Line // by what was given
	key  []byte
}

// mostSeen bounds the lines that are remembered, each of a few kilobytes.
const mostSeen = 4096

// Remember makes a memory for the engine.
func (e *Engine) Remember() *Memory { return &Memory{e: e, seen: map[string]*Line{}} }

// Work is [Engine.Work].
func (m *Memory) Work(l *Line, list int) (Outcome, error) {
	key := m.keyOf(l)
	if was := m.seen[string(key)]; was != nil {
		l.own()
		for slot, given := range l.given {
			if !given {
				m.e.Model.Line.Quantities[slot].Copy(&l.Frame, &was.Frame)
			}
		}
		l.Raised = append(l.Raised, was.Raised...)
		m.e.Add(l, list)
		return Outcome{}, nil
	}
	out, err := m.e.Work(l, list)
	switch {
	case err != nil || out.Refused:
	case len(out.Added) > 0:
		clear(m.seen) // others may find the new lines of the tables too
	case len(m.seen) < mostSeen:
		m.seen[string(key)] = l.Clone()
	}
	return out, err
}

// keyOf is all that was given of a line: the rest comes from it.
func (m *Memory) keyOf(l *Line) []byte {
	key := m.key[:0]
	for slot, given := range l.given {
		if !given {
			continue
		}
		key = binary.AppendUvarint(key, uint64(slot))
		q := m.e.Model.Line.Quantities[slot]
		if !q.IsText() {
			key = binary.BigEndian.AppendUint64(key, math.Float64bits(q.Num(&l.Frame)))
			continue
		}
		key = binary.AppendUvarint(key, uint64(len(q.Text(&l.Frame))))
		key = append(key, q.Text(&l.Frame)...)
	}
	m.key = key
	return key
}
