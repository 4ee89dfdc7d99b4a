package formula

import (
	"fmt"
	"slices"
	"strings"
)

// Order sorts figures so that each comes after those it depends on, and
// otherwise leaves them as they were listed. deps gives what one figure names;
// what is not among figures is an input and needs no place. Figures that
// depend on each other in a circle are an error that shows the path.
func Order(figures []string, deps func(string) []string) ([]string, error) {
	known := map[string]bool{}
	for _, f := range figures {
		known[f] = true
	}
	var ordered, path []string
	done := map[string]bool{}
	var visit func(f string) error
	visit = func(f string) error {
		if done[f] {
			return nil
		}
		if i := slices.Index(path, f); i >= 0 {
			circle := append(slices.Clone(path[i:]), f)
			return fmt.Errorf("figures depend on each other in a circle: %s; take one of these names out of its formula", strings.Join(circle, " -> "))
		}
		path = append(path, f)
		for _, d := range deps(f) {
			if !known[d] {
				continue
			}
			if err := visit(d); err != nil {
				return err
			}
		}
		path = path[:len(path)-1]
		done[f] = true
		ordered = append(ordered, f)
		return nil
	}
	for _, f := range figures {
		if err := visit(f); err != nil {
			return nil, err
		}
	}
	return ordered, nil
}
