package backlog

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sync"

	"seamtally/compute/chance"
)

// common is what is drawn of all orders at once: of each assumption one share of its
// range, which every order reads off its own.
type common struct {
	draws chance.Draws
	place map[string]int // of an assumption among those drawn
}

// drawn is an order whose hours are drawn.
type drawn struct {
	*Order
	hours []float64 // of each trial
	won   []bool    // in each trial
}

// wins tells the draws of who wins apart from those of assumptions.
const wins = 1 << 32

// Draw draws what the hours may come to. All orders rest on the same minutes, so one
// draw of these holds for all. Whether an order is won is drawn for each.
func (r *Load) Draw(ctx context.Context, progress func(done, total int)) error {
	var all []*drawn
	c := common{place: map[string]int{}}
	for _, f := range r.orders {
		if !f.Placed {
			continue
		}
		all = append(all, &drawn{Order: f})
		r.Trials = max(r.Trials, f.Trials)
		c.draws.Seed = max(c.draws.Seed, f.Seed)
		c.draws.Correlation = max(c.draws.Correlation, f.Correlation)
	}
	c.gather(all)
	r.Draws = len(c.draws.Together)
	for i, d := range all {
		d.hours, d.won = make([]float64, r.Trials), make([]bool, r.Trials)
		step := func(done int) {
			if progress != nil {
				progress(i*r.Trials+done, len(all)*r.Trials)
			}
		}
		if err := d.draw(ctx, c.draws, c.place, step); err != nil {
			return fmt.Errorf("%s: %w", d.Name, err)
		}
	}
	for no := range r.Trials {
		rng := rand.New(rand.NewPCG(c.draws.Seed+wins, uint64(no)))
		for _, d := range all {
			d.won[no] = rng.Float64() < d.Chance
		}
	}
	r.outcomes(all)
	return nil
}

// gather lists what is drawn, in an order that does not depend on that of the
// orders.
func (c *common) gather(all []*drawn) {
	together := map[string]bool{}
	for _, d := range all {
		for _, x := range d.Drawn {
			together[x.Key] = x.Time
		}
	}
	var keys []string
	for key := range together {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	for i, key := range keys {
		c.place[key] = i
		c.draws.Together = append(c.draws.Together, together[key])
	}
}

// draw works the hours of an order out with each draw.
func (d *drawn) draw(ctx context.Context, draws chance.Draws, place map[string]int, step func(done int)) error {
	const workers = 2 // a trial depends on its number alone
	var group sync.WaitGroup
	faults := make([]error, workers)
	for w := range workers {
		s, err := d.Sweep()
		if err != nil {
			return err
		}
		group.Go(func() {
			shares, values := make([]float64, len(draws.Together)), make([]float64, len(d.Drawn))
			for no := w; no < len(d.hours); no += workers {
				if no%256 == w && ctx.Err() != nil {
					faults[w] = ctx.Err()
					return
				}
				if w == 0 && no%1000 == 0 {
					step(no)
				}
				draws.Shares(no, shares)
				for i, x := range d.Drawn {
					values[i] = x.Spread.At(shares[place[x.Key]])
				}
				d.hours[no] = s.At(values)[0]
			}
		})
	}
	group.Wait()
	for _, err := range faults {
		if err != nil {
			return err
		}
	}
	if slices.ContainsFunc(d.hours, math.IsNaN) { // as Range, which then draws nothing
		for no := range d.hours {
			d.hours[no] = d.Hours
		}
		d.NotDrawn = true
	}
	return nil
}

// outcomes are P50 and P80 of each week, of all weeks, and of each order. An order's
// weeks stretch as its hours do: its days stay those that were promised.
func (r *Load) outcomes(all []*drawn) {
	share := func(d *drawn, no int) float64 {
		if !d.won[no] || d.Hours == 0 {
			return 0
		}
		return d.hours[no] / d.Hours
	}
	trials := make([]float64, r.Trials)
	ends := func(w *Week, of func(d *drawn) float64) {
		for no := range trials {
			trials[no] = 0
			for _, d := range all {
				trials[no] += share(d, no) * of(d)
			}
		}
		s := chance.Sort(trials)
		w.P50, w.P80 = s.At(0.5), s.At(0.8)
	}
	for i := range r.Weeks {
		w := &r.Weeks[i]
		ends(w, func(d *drawn) float64 { return d.in(w.number) })
	}
	ends(&r.Total, func(d *drawn) float64 { return d.Hours })
	for no := range trials { // with another draw for each order
		trials[no] = 0
		for i, d := range all {
			trials[no] += share(d, (no+i*r.Trials/len(all))%r.Trials) * d.Hours
		}
	}
	r.Apart = chance.Sort(trials).At(0.8)
}

// in are the hours of an order in the week from a Monday on.
func (f *Order) in(monday float64) float64 {
	for _, w := range f.Weeks {
		if w.Monday == monday {
			return sum(w.Hours)
		}
	}
	return 0
}
