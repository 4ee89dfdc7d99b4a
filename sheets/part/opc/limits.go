package opc

// Limits bounds what a package may unpack to, so that a small malicious file
// cannot fill memory or disk. Sizes are in bytes. A zero field means no limit
// of that sort.
type Limits struct {
	Unpacked  int64 // all parts together, as the archive declares them
	PartBytes int64 // any one part
	Whole     int64 // a part that is held in memory: all but sheets and shared strings
	Ratio     int64 // unpacked over packed size of one part, or of all ...
	RatioFrom int64 // ... looked at only from this unpacked size on
	Parts     int   // number of entries in the archive
}

// DefaultLimits allows any workbook that a desktop spreadsheet can open in
// practice: 4 GiB in all, 2 GiB a part, 32 MiB for parts such as the styles.
// Worksheets full of repeated blank cells pack 200 to 1; only larger ratios on
// large parts, and on large packages as a whole, are refused.
func DefaultLimits() Limits {
	return Limits{
		Unpacked:  4 << 30,
		PartBytes: 2 << 30,
		Whole:     32 << 20,
		Ratio:     600,
		RatioFrom: 64 << 20,
		Parts:     65535,
	}
}
