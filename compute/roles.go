package compute

import (
	"fmt"
	"io/fs"
)

// Roles are the quantities that the program itself has to do with, whatever the
// model says of them. All others it only carries.
type Roles struct {
	// Of a joint line.
	Fine, Finding, Words, LineCost, CarNo *Quantity
	// Of the cars, and of the order.
	CarQty, Price, Brings *Quantity
	// What a run finds, see checks.txt.
	Beside, Outside, Changed, Moved, BelowRoom, BlankPoints, Disagreeing *Quantity
	// Whether the order is complete.
	Verdict *Quantity
}

// findRoles refuses a model in which one is missing.
func (m *Model) findRoles(fs.FS) error {
	r := &m.Roles
	closing := []struct {
		to   **Scope
		name string
	}{{&m.Lists, "lists"}, {&m.OrderOf, "order"}, {&m.Run, "run"}, {&m.Ready, "readiness"}}
	for _, c := range closing {
		if *c.to = m.ClosingScope(c.name); *c.to == nil {
			return fmt.Errorf("the model has no scope %s, which the program needs", c.name)
		}
	}
	cars := m.ClosingScope("cars")
	if cars == nil {
		return fmt.Errorf("the model has no scope cars, which the program needs")
	}
	for _, role := range []struct {
		to  **Quantity
		of  *Scope
		key string
	}{
		{&r.Fine, m.Line, "fine"}, {&r.Finding, m.Line, "finding"}, {&r.Words, m.Line, "check"},
		{&r.LineCost, m.Line, "line_cost"}, {&r.CarNo, m.Line, "car_no"},
		{&r.CarQty, cars, "car_qty"},
		{&r.Price, m.OrderOf, "order_price"}, {&r.Brings, m.OrderOf, "order_brings"},
		{&r.Beside, m.Run, "beside"}, {&r.Outside, m.Run, "outside"}, {&r.Changed, m.Run, "changed"}, {&r.Moved, m.Run, "moved"},
		{&r.BelowRoom, m.Run, "below_room"}, {&r.BlankPoints, m.Run, "blank_points"}, {&r.Disagreeing, m.Run, "disagreeing"},
		{&r.Verdict, m.Ready, "verdict"},
	} {
		if *role.to = role.of.byKey[role.key]; *role.to == nil {
			return fmt.Errorf("the model has no %s.%s, which the program needs: %s has these: %v", role.of.Name, role.key, role.of.Name, keys(role.of))
		}
	}
	return nil
}

func keys(s *Scope) []string {
	var out []string
	for _, q := range s.Quantities {
		out = append(out, q.Key)
	}
	return out
}
