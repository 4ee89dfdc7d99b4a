// Package offer writes what a customer is to see of a priced order, as a workbook
// of its own.
package offer
