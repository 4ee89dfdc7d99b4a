// Package bid lays out the sheets to decide on a bid by, from the stanzas of the
// model and from what no formula can find: how tube is cut, where bottles are
// changed, what trials give. It knows nothing of the run that it is part of.
package bid
