// Package load lays the weeks of several quotes over one another: what the floor
// has to do, stage by stage, against the hours that it has. It knows nothing of how
// a figure is worked out.
package load
