// Package complete says what a person at a shell could type next, by the workbook that
// is named already. It writes nothing, and finds fault with nothing.
package complete

import (
	"context"
	"os"
	"strings"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/bid"
	"seamtally/sheets/calibrate"
	"seamtally/sheets/explain"
	"seamtally/sheets/whatif"
	"seamtally/templates"
)

// Asked is a command line that is not finished.
type Asked struct {
	Command  string
	Flag     string   // whose value comes next, without dashes; "" for none
	Words    []string // that are no flags and no values, FILE first
	Word     string   // as far as it is typed
	Password string
}

// mostBytes is how large a workbook may be that is read while a person waits for a key.
const mostBytes = 16 << 20

// Next are the words that could come; none where files or flags do.
func Next(ctx context.Context, a Asked) []string {
	var out []string
	switch {
	case a.Flag == "with":
		return a.listed(bid.Sheets())
	case a.Flag == "also":
		return a.listed(calibrate.Asked())
	case a.Flag == "of":
		if k := a.known(ctx, ""); k != nil {
			out = k.OfOrder
		}
	case a.Flag == "set":
		out = a.places(ctx)
	case a.Flag == "settle":
		if k := a.known(ctx, a.file()); k != nil {
			for _, s := range k.Sheets {
				out = append(out, s+"=own", s+"!")
			}
		}
	case a.Flag == "car":
		if k := a.known(ctx, a.file()); k != nil {
			out = k.Cars
		}
	case a.Flag != "" || a.Command != "explain":
		return nil
	default:
		out = a.explained(ctx)
	}
	return begun(out, a.Word)
}

func (a Asked) file() string {
	if len(a.Words) == 0 {
		return ""
	}
	return a.Words[0]
}

// known is what can be named of a file, or of any where none is named yet.
func (a Asked) known(ctx context.Context, file string) *whatif.Known {
	if st, err := os.Stat(file); file != "" && err == nil && st.Size() <= mostBytes {
		if k, err := whatif.Read(ctx, file, a.Password); err == nil {
			return k
		}
	}
	m, err := compute.Load(templates.FS, model.US)
	if err != nil {
		return nil
	}
	return whatif.Of(m)
}

// explained are the marks, cars and sheets of the file, then the figures of what is named.
func (a Asked) explained(ctx context.Context) []string {
	if len(a.Words) == 0 || len(a.Words) > 2 {
		return nil
	}
	k := a.known(ctx, a.file())
	switch {
	case k == nil:
		return nil
	case len(a.Words) == 1:
		out := append(append([]string{explain.OfOrder}, k.Cars...), k.Marks...)
		for _, s := range k.Sheets {
			out = append(out, s+"!")
		}
		return out
	case strings.EqualFold(a.Words[1], explain.OfOrder):
		return append(k.OfOrder, k.Assumptions...)
	}
	for _, car := range k.Cars {
		if strings.EqualFold(car, a.Words[1]) {
			return append(k.OfCar, k.Assumptions...)
		}
	}
	return append(k.OfJoint, k.Assumptions...)
}

// places are what --set may name: assumptions, and marks with their inputs once a mark
// is typed.
func (a Asked) places(ctx context.Context) (out []string) {
	if strings.Contains(a.Word, "=") {
		return nil
	}
	k := a.known(ctx, a.file())
	if k == nil {
		return nil
	}
	for _, key := range k.Assumptions {
		out = append(out, key+"=")
	}
	for _, mark := range k.Marks {
		if len(a.Word) > len(mark) && strings.EqualFold(a.Word[:len(mark)+1], mark+".") {
			for _, input := range k.Inputs {
				out = append(out, a.Word[:len(mark)+1]+input+"=")
			}
			continue
		}
		out = append(out, mark+".")
	}
	return out
}

// listed are the words of a list with commas, behind those that are typed already.
func (a Asked) listed(all []string) (out []string) {
	before := a.Word[:strings.LastIndex(a.Word, ",")+1]
	for _, s := range all {
		out = append(out, before+s)
	}
	return begun(out, a.Word)
}

// begun are those that begin with what is typed.
func begun(all []string, word string) (out []string) {
	for _, s := range all {
		if len(s) >= len(word) && strings.EqualFold(s[:len(word)], word) && !strings.ContainsAny(s, "\n\r\t\x1b") {
			out = append(out, s)
		}
	}
	return out
}
