// Package assumptions reads what the shop has set on the sheet Assumptions, lays the
// sheet out, and keeps its log. It knows nothing of Workings.
package assumptions
