package screen

import (
	"os"

	"golang.org/x/sys/windows"
)

// obeys reports whether a console takes colours; one that can is told to.
func obeys(f *os.File) bool {
	console := windows.Handle(f.Fd())
	var mode uint32
	if err := windows.GetConsoleMode(console, &mode); err != nil {
		return false
	}
	if mode&windows.ENABLE_VIRTUAL_TERMINAL_PROCESSING != 0 {
		return true
	}
	return windows.SetConsoleMode(console, mode|windows.ENABLE_VIRTUAL_TERMINAL_PROCESSING) == nil
}
