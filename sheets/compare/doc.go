// Package compare shares out what moved a figure of an order from one revision to
// the next. It knows nothing of audits.
package compare
