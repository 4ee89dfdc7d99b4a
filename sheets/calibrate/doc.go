// Package calibrate makes assumptions of what a shop has logged: it reads time sheets,
// fits a ratio for each stage, says how far it is to be trusted, and writes it into a
// quote if it is asked to.
package calibrate
