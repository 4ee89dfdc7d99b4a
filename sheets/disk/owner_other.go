//go:build !unix

package disk

import "os"

// OtherNames does not know of any.
func OtherNames(os.FileInfo) bool { return false }

// keepOwner does nothing: the owner of a file is a matter of its folder here.
func keepOwner(*os.File, os.FileInfo) {}
