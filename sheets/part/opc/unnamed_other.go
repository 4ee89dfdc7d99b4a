//go:build !linux

package opc

import "os"

// Unnamed cannot be done here: ok is false.
func Unnamed(string) (f *os.File, ok bool) { return nil, false }
