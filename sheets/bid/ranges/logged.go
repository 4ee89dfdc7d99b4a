package ranges

import (
	"slices"

	"seamtally/compute/model"
)

// standsFor are the figures of a joint line that each factor of the shop's own
// multiplies.
func standsFor() map[string][]string {
	return map[string][]string{
		"saw_factor":   {"saw_time"},
		"bench_factor": {"bench_time"},
		"weld_factor":  {"weld_time"},
		"gas_factor":   {"torch_gas", "trail_gas", "purge_gas"},
	}
}

// leaveLogged takes out of those that are drawn what the hours or the argon that the
// shop has logged stand for already: all that makes up stages whose factors are
// logged, and nothing else of the hours. The factor is drawn in their place.
func (r *ranges) leaveLogged() {
	m := r.Model
	behind := func(factor string) map[*model.Quantity]bool {
		var figures []*model.Quantity
		for _, key := range standsFor()[factor] {
			figures = append(figures, m.Line.Quantity(key))
		}
		return m.Behind(figures...)
	}
	logged := map[string]bool{}
	for _, x := range r.used {
		logged[x.q.Key] = standsFor()[x.q.Key] != nil
	}
	r.used = slices.DeleteFunc(r.used, func(x ranged) bool {
		stages, open := 0, 0
		for _, stage := range model.StageFactors() {
			if behind(stage)[x.q] {
				stages++
				if !logged[stage] {
					open++
				}
			}
		}
		gas := behind("gas_factor")[x.q] || x.q.Key == "argon_loss"
		if open > 0 || stages == 0 && !(gas && logged["gas_factor"]) {
			return false
		}
		r.unused = append(r.unused, outOfRange{x.q, "what is logged stands for it, and is drawn instead"})
		return true
	})
}
