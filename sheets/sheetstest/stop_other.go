//go:build !unix

package sheetstest

import "os/exec"

// stopWithChildren does nothing here: soffice.exe is the program itself.
func stopWithChildren(*exec.Cmd) {}
