// Package screen makes of whole lines what a terminal shows best: wrapped, the file's
// name said once, severity in colour. What is no terminal gets the lines as they are.
package screen
