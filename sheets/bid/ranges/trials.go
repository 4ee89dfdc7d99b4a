package ranges

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"seamtally/compute"
	"seamtally/compute/chance"
	"seamtally/sheets/logbook"
	"seamtally/sheets/progress"
)

// came is what the trials came to, as far as the sheet says it. Costs are direct.
type came struct {
	Cost, Hours chance.Curve
	Lost        float64 // share of trials that cost more than the order brings
	Direct      float64 // that cost no more than the direct cost as priced,
	Priced      float64 // and no more than the cost that is priced
}

// toldShares are the shares of trials that the sheet names.
func toldShares() []float64 { return []float64{0.1, 0.5, 0.8, 0.9} }

// workers draw side by side. A trial depends on its number alone, so the outcome does
// not on how many there are.
const workers = 2

// trialsFrom is a digest of what the trials rest on: with all that the figures come
// from, what the order comes to where each value is at an end of its range.
func (r *ranges) trialsFrom() string {
	of := []any{r.AllFigures(), r.trials, r.Single("seed"), r.Single("time_correlation"), r.priced(), r.held(), r.brings()}
	for _, x := range r.used {
		of = append(of, x.q.Key, x.spread, x.costs, x.hours)
	}
	return logbook.DigestOf(of...)
}

// simulate draws all together, unless the last run has drawn the same.
func (r *ranges) simulate() error {
	from := r.trialsFrom()
	if r.Recall(logbook.KeptTrials, from, &r.came) {
		return nil
	}
	d := chance.Draws{Correlation: r.Single("time_correlation"), Seed: uint64(r.Single("seed"))}
	for _, x := range r.used {
		d.Of = append(d.Of, x.spread)
		d.Together = append(d.Together, ofTime(x.q))
	}
	if err := d.Check(); err != nil {
		return fmt.Errorf("the ranges cannot be drawn: %w", err)
	}
	costs, hours := make([]float64, r.trials), make([]float64, r.trials)
	sweeps := []*compute.Sweep{r.sweep}
	for len(sweeps) < workers {
		twin, err := r.sweep.Twin()
		if err != nil {
			return err
		}
		sweeps = append(sweeps, twin)
	}
	var group sync.WaitGroup
	faults := make([]error, workers)
	for w := range workers {
		group.Go(func() {
			values, at := r.likely()
			draw := make([]float64, len(d.Of))
			for no := w; no < r.trials; no += workers {
				if no%256 == w && r.By.Ctx.Err() != nil {
					faults[w] = r.By.Ctx.Err()
					return
				}
				if w == 0 && no%1000 == 0 {
					progress.Of(r.By.Ctx, "trials of Range", no, r.trials)
				}
				d.Trial(no, draw)
				for i, x := range draw {
					values[at[i]] = x
				}
				costs[no], hours[no] = directAt(sweeps[w], values)
			}
		})
	}
	group.Wait()
	for _, err := range faults {
		if err != nil {
			return err
		}
	}
	if slices.ContainsFunc(costs, math.IsNaN) || slices.ContainsFunc(hours, math.IsNaN) {
		return errTogether
	}
	cost := chance.Sort(costs)
	r.came = came{
		Cost: cost.Curve(), Hours: chance.Sort(hours).Curve(),
		Lost: cost.Over(r.brings()), Direct: cost.Under(compute.Direct(r.priced(), r.held())), Priced: cost.Under(r.priced()),
	}
	r.Keep(logbook.KeptTrials, from, r.came)
	return nil
}

// priced, held and brings are what the order costs as priced, the contingency in that,
// and what it brings.
func (r *ranges) priced() float64 { return r.OrderAmount("order_cost").Value }
func (r *ranges) held() float64   { return r.OrderAmount("money_contingency").Value }
func (r *ranges) brings() float64 { return r.OrderAmount(r.Model.Roles.Brings.Key).Value }
