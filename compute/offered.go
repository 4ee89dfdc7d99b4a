package compute

import "seamtally/compute/model"

// Offered is what a customer is asked for, in money to the cent: each car, and the
// order.
type Offered struct {
	Cars  []OfferedCar // in the order of the cars of the order
	Total float64
	Extra float64 // what the total is over the cars' prices
	Least bool    // as the least price of an order holds
}

// OfferedCar is a car with the price that it is offered at.
type OfferedCar struct {
	Each   float64 // the bid where there is one; 0 = not known
	All    float64 // Each times those ordered
	Bid    bool
	Worked float64 // the price as worked out, 0 = it cannot be
}

// Offered is what an order that is worked out is offered at. A bid beats the price that
// was worked out. The least price of an order holds unless every car has a bid: then
// all of it has been offered before.
func (o *Order) Offered() (out Offered) {
	cars := o.Model.ClosingScope("cars")
	bids := 0
	for _, f := range o.Values.Rows(cars).Frames {
		x := cars.Figures(f)
		car := OfferedCar{Worked: max(model.Cents(x["price_car"]), 0)}
		car.Each = car.Worked
		if bid := model.Cents(x["bid"]); bid > 0 {
			car.Each, car.Bid = bid, true
			bids++
		}
		car.All = model.Cents(car.Each * x["car_qty"])
		out.Total = model.Cents(out.Total + car.All)
		out.Cars = append(out.Cars, car)
	}
	sum := out.Total
	least := model.Cents(o.Model.Singles.Quantity("minimum_order").Num(o.Values.Singles))
	price := model.Cents(o.Model.OrderOf.Figures(o.Values.Order)["order_price"])
	switch {
	case bids < len(out.Cars) && least > sum:
		out.Total, out.Least = least, true
	case bids == 0 && price > 0:
		out.Total = price
	}
	out.Extra = model.Cents(out.Total - sum)
	return out
}

// Direct is what an order costs without the contingency that it carries.
func Direct(cost, contingency float64) float64 { return cost - contingency }
