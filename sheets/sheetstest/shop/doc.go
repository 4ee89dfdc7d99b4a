// Package shop holds what the tests of several packages do as a shop does: small
// orders written and typed over, priced, cleared and offered, and read again
// from outside. Where package sheetstest knows nothing of the program, so that
// the tests inside package sheets can use it, this one calls it.
package shop
