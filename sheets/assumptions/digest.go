package assumptions

// Digest is the SHA-256 of the workbook as it lies on the disk.
func (b *Sheet) Digest() (string, error) { return b.inputSum() }
