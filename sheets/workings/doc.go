// Package workings lays out the sheet Workings and draws it: where each figure of the order
// stands, live, with what the shop has written there carried along. It works
// nothing out.
package workings
