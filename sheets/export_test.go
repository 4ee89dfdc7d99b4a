package sheets

import "io/fs"

// WithModel has a run work by other texts of the model, as another version of
// the program does.
func (o PriceOptions) WithModel(files fs.FS) PriceOptions {
	o.files = files
	return o
}
