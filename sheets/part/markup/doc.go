// Package markup reads the XML of a workbook's parts so that every byte that is
// not to change can be copied as it was.
//
// A long part goes by as a stream of tokens with their places ([Reader]); a
// small one is held as a tree with the place of everything in it ([Parse]), and
// changed by a [Patch] that cuts and inserts. Both refuse what is not
// well-formed, document types, and encodings other than UTF-8, with an error
// that says where and what to do.
//
// It knows the namespaces of the format and how texts are escaped in it. It
// knows nothing of cells, sheets or files.
package markup
