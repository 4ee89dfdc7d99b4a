//go:build !linux

package disk

// newDraft makes a file that has a name of its own until it is published.
func newDraft(dir string) (*draft, error) { return newNamedDraft(dir) }

// publish puts the draft in its place and closes it. What is there is replaced:
// that it is as it was has just been seen to.
func (f *draft) publish(path string, _ bool) error { return f.rename(path) }
