// Package setups lays the comparison of shielding set-ups out: what a weld takes, and
// what the order comes to, under each. It knows nothing of the other sheets for the bid.
package setups
