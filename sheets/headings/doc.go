// Package headings reads rows of a sheet as the headings of a joint list, or of a list
// of cars: in up to three rows, under groups, with their units below, and as the shop
// has settled them. It knows nothing of the rows under them, nor of our columns.
package headings
