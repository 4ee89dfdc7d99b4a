// Package templates holds the texts that a domain person can read and extend:
// the model, the shipped assumptions and tables, and the spellings that shops
// use. They are embedded, so that the program is one file; it holds no logic.
package templates

import "embed"

// FS holds every .txt file of this directory under its plain name.
//
//go:embed *.txt
var FS embed.FS
