// Package ranges lays Range out, and draws what it shows: how far cost and hours may
// go, if each assumption lies in its range. It knows nothing of the other sheets for
// the bid.
package ranges
