// Package joints finds joint lists in a workbook, reads their rows as shops write
// them, and fills their calculated columns. It knows nothing of Assumptions and
// Workings, nor of how a figure is worked out.
package joints
