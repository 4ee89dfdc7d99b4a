package whatif

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/disk"
	"seamtally/sheets/front"
)

// Report is an order as it is, and as it would be.
type Report struct {
	Cells      []Cell // that would be typed, in the order in which they were named
	Was, Would *sheets.Report
	Order      []Change // the figures with which Summary answers
	Cars       []CarChange
	New        []book.Finding // errors and warnings of Would that Was has not
}

// Cell is one that would be typed.
type Cell struct {
	Name     string // as it was asked for
	At       string // Assumptions!C34
	Old, New string // as a person reads them
	typed    book.Typed
}

// Change is a figure as it is, and as it would be; NaN where there is none.
type Change struct {
	Key, Heading, Unit string
	Was, Would         float64
}

// Differs reports whether the figure would change.
func (c Change) Differs() bool {
	return c.Was != c.Would && !(math.IsNaN(c.Was) && math.IsNaN(c.Would))
}

// CarChange is what would change of one car of a kind.
type CarChange struct {
	Car     string
	Figures []Change
}

// Ask prices a workbook, and prices it again with cells typed over: "shop_rate=110",
// "A-07.setup=trailing shield", "setups.trailing shield.travel=4". Both are runs as
// any other; the first goes to a temporary copy, so that the cells of the second are
// there also where the workbook was never priced.
func Ask(ctx context.Context, o sheets.PriceOptions, sets []string) (*Report, error) {
	if !o.DryRun {
		return nil, errors.New("--set asks what the order would come to, and writes nothing; add --dry-run, or type the value into the workbook (--dry-run names its cell) and price that")
	}
	asked, err := parsed(sets)
	if err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp("", "seamtally-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	first := o
	first.DryRun, first.Force, first.InPlace, first.Out = false, false, false, filepath.Join(dir, filepath.Base(disk.OutputName(o.In)))
	r := &Report{}
	if r.Was, err = sheets.Price(ctx, first); err != nil {
		return nil, err
	}
	second := o
	second.In, second.Out, second.InPlace, second.From, second.Settle, second.With = first.Out, "", false, nil, nil, nil
	second.Lines = false
	var m *model.Model
	if r.Cells, m, err = located(ctx, second, asked); err != nil {
		return nil, ofInput(o.In, second.In, err)
	}
	for _, c := range r.Cells {
		second.Typed = append(second.Typed, c.typed)
	}
	if r.Would, err = sheets.Price(ctx, second); err != nil {
		return nil, ofInput(o.In, second.In, err)
	}
	r.Was.Input, r.Would.Input = o.In, o.In
	if err := r.changes(m); err != nil {
		return nil, err
	}
	for _, f := range r.Would.Findings {
		if f.Level != book.LevelNote && !slices.Contains(r.Was.Findings, f) {
			r.New = append(r.New, f)
		}
	}
	return r, r.refused()
}

// changes fills in the figures of both, a car that only one of them has included.
func (r *Report) changes(m *model.Model) error {
	order, car, err := front.Figures(m)
	if err != nil {
		return err
	}
	r.Order = changesOf(order, r.Was.Order, r.Would.Order)
	would := map[string]model.Figures{}
	for _, c := range r.Would.Cars {
		would[c.Car] = c.Figures
	}
	for _, c := range r.Was.Cars {
		r.Cars = append(r.Cars, CarChange{c.Car, changesOf(car, c.Figures, would[c.Car])})
		delete(would, c.Car)
	}
	for _, c := range r.Would.Cars {
		if f, only := would[c.Car]; only {
			r.Cars = append(r.Cars, CarChange{c.Car, changesOf(car, nil, f)})
		}
	}
	return nil
}

func changesOf(of []*model.Quantity, was, would model.Figures) (out []Change) {
	at := func(f model.Figures, key string) float64 {
		if x, ok := f[key]; ok {
			return x
		}
		return math.NaN()
	}
	for _, q := range of {
		out = append(out, Change{q.Key, q.Heading, model.UnitName(q), at(was, q.Key), at(would, q.Key)})
	}
	return out
}

// refused is an error where what would be typed into a joint cannot be read.
func (r *Report) refused() error {
	for _, f := range r.New {
		for _, c := range r.Cells {
			if f.Level == book.LevelError && strings.EqualFold(f.Cell, c.At) {
				return fmt.Errorf("%s: %s: %s; %s", c.Name, f.Cell, f.What, f.Fix)
			}
		}
	}
	return nil
}

// ofInput names the workbook that was asked about in an error of its copy.
func ofInput(in, copied string, err error) error {
	if errors.Is(err, context.Canceled) {
		return err
	}
	return errors.New(strings.ReplaceAll(err.Error(), copied, in))
}
