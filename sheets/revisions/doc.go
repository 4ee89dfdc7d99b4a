// Package revisions pairs what two revisions of an order have. It knows nothing of
// what it pairs.
package revisions
