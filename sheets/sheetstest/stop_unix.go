//go:build unix

package sheetstest

import (
	"os/exec"
	"syscall"
)

// stopWithChildren makes the end of the context reach the whole process group:
// soffice is a script whose children would outlive it.
func stopWithChildren(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
}
