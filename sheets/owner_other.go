//go:build !unix

package sheets

import "os"

// otherNames does not know of any.
func otherNames(os.FileInfo) bool { return false }

// keepOwner does nothing: the owner of a file is a matter of its folder here.
func keepOwner(*os.File, os.FileInfo) {}
