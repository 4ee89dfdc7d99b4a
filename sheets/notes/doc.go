// Package notes reads words of a sheet that stand in no cell: comments at cells, text
// boxes, headers and footers of its pages. It knows nothing of what they say, nor of what is made of them.
package notes
