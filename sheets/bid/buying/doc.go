// Package buying lays Buying out: tube and how it is cut, argon and where bottles are
// changed, filler, coupons and parts. It knows nothing of the other sheets for the bid.
package buying
