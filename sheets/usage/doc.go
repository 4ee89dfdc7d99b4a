// Package usage tells of the program itself: help, the manual page, what a shell can
// complete, the version; and reads a command line as it is typed. It knows nothing of
// workbooks, nor of what a run comes to.
package usage
