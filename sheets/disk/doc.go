// Package disk saves files whole or not at all. It settles where an output may
// go, sees who has a file open or has changed it meanwhile, keeps its owner and
// its permissions, and says what the system's errors mean and what to do. It
// knows nothing of what is in a file.
package disk
