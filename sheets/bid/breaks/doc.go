// Package breaks lays Breaks out: what one car costs if another number of its spec is
// ordered. It knows nothing of the other sheets for the bid.
package breaks
