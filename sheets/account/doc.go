// Package account is the account of a workbook: what of it is read, what is the
// shop's own, and what is not settled, so that the price may be another. It goes over
// the rows that package joints has read, and knows nothing of our own sheets.
package account
