// Package whatif asks what an order would come to with some cells typed otherwise,
// and writes nothing.
package whatif
