// Package sheetstest holds what tests need to judge a workbook from outside,
// in the manner of net/http/httptest: an independent reader of its cells, a
// recalculation by LibreOffice, a comparison of the two, and a generator of
// random order lists.
//
// A value stored beside a formula is only ever checked against a program that
// did not write it. LibreOffice is that program, with one catch: it believes
// the values that it finds in a file. So [Recalculate] takes a copy, strips the
// stored value of every formula cell from it, and opens that copy with a fresh
// profile that is told to recalculate always.
//
//	stored := sheetstest.Read(t, path)
//	again := sheetstest.Recalculate(t, path)
//	n := sheetstest.Compare(t, stored, again, 1e-9)
//	require.Greater(t, n, 1000, "the book holds fewer formulas than it should")
//
// Always check the count too: a comparison of nothing succeeds.
package sheetstest
