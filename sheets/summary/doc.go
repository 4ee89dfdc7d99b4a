// Package summary lays out Summary and draws it: where each figure of the order
// stands, live, with what the shop has written there carried along. It works
// nothing out.
package summary
