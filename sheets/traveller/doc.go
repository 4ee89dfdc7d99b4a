// Package traveller writes what goes to the bench with the tube of each car: what
// to make, from the same rows as the price, and boxes to write in. It holds nothing
// that an estimate says about how to weld.
package traveller
