// Package compute works an order out: joint lines one after another, cars and the
// order from their sums, the checks of both, and all of it again with something
// otherwise. What is worked out, and from what, the model says (compute/model); it
// knows nothing of texts, cells, sheets or files.
package compute

import (
	"io/fs"

	"seamtally/compute/functions"
	"seamtally/compute/model"
)

// Load reads the model with the functions that its formulas call, see [model.Load].
func Load(fsys fs.FS, system model.System) (*model.Model, error) {
	return model.Load(fsys, system, functions.Find)
}
