package look

// letterWidths are those of the letters from blank to "~", in hundredths of a digit's: of
// each the widest in Carlito, which has the metrics of Calibri, plain or bold, in
// Liberation Sans, which has those of Arial, and in DejaVu Sans (read from these fonts).
func letterWidths() []uint8 {
	return []uint8{
		50, 64, 87, 132, 100, 160, 139, 46, 61, 61, 98, 132, 51, 60, 53, 85, // blank to /
		100, 100, 100, 100, 100, 100, 100, 100, 100, 100, 54, 54, 132, 132, 132, 100, // 0 to ?
		183, 120, 120, 130, 130, 120, 110, 140, 130, 53, 90, 120, 100, 172, 130, 140, // @ to O
		120, 140, 130, 120, 110, 130, 120, 179, 120, 120, 110, 64, 85, 64, 132, 100, // P to _
		79, 100, 106, 90, 106, 100, 62, 100, 106, 48, 50, 95, 48, 161, 106, 106, // ` to o
		106, 106, 70, 90, 68, 106, 93, 147, 93, 93, 90, 100, 94, 100, 132, // p to ~
	}
}

// Digits is how many digits are as wide as a text. A letter that is not known counts as one
// and a third, one of a script of square letters as two.
func Digits(text string) float64 {
	widths, all := letterWidths(), 0
	for _, r := range text {
		switch at := int(r) - ' '; {
		case at >= 0 && at < len(widths):
			all += int(widths[at])
		case r >= 0x1100:
			all += 200
		case r >= ' ':
			all += 133
		}
	}
	return float64(all) / 100
}
