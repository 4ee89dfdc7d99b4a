// Package schedule lays Schedule out: when each car is done, and what each week takes
// in. It knows nothing of the other sheets for the bid.
package schedule
