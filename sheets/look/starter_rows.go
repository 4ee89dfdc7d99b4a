package look

import "fmt"

const (
	exampleCar = "Example coupe"
	choices    = "Choices"
	setUpHead  = "Set-up"
	alloyHead  = "Alloy"
)

// setups are the names of the shielding set-ups as shipped.
func setups() []string {
	return []string{"cup, stop and start", "trailing shield, on rolls", "trailing shield, by hand"}
}

// jointColumn is one column of the example list.
type jointColumn struct {
	head   string
	width  float64
	style  Style
	choice Validation // its range is filled in later
}

func jointColumns(metric bool) []jointColumn {
	unit, long, thin := "in", "0.000", "0.000"
	if metric {
		unit, long, thin = "mm", "0.0", "0.0"
	}
	text := Style{Role: InputText}
	name := Style{Role: InputText, Format: "@"} // a mark such as 012 stays as typed
	number := Style{Role: Input}
	length := func(head string) string { return fmt.Sprintf("%s (%s)", head, unit) }
	words := func(what string, list ...string) Validation {
		return Validation{Words: list, ErrorTitle: what, Error: "Choose one of the list, or leave it blank."}
	}
	hint := func(title, prompt string) Validation { return Validation{PromptTitle: title, Prompt: prompt} }
	return []jointColumn{
		{head: "Joint", width: 9, style: name},
		{head: "Car", width: 14, style: name},
		{head: "Where", width: 20, style: text},
		{head: "Kind", width: 8, style: text, choice: words("Kind", "butt", "pie cut", "fillet", "branch", "seam")},
		{head: "Qty per car", width: 7, style: number},
		{head: length("OD"), width: 7, style: Style{Role: Input, Format: long}},
		{head: length("Wall"), width: 8, style: Style{Role: Input, Format: thin}},
		{head: alloyHead, width: 9, style: text},
		{head: "Bend (°)", width: 9, style: number},
		{head: "Pie angle (°)", width: 9, style: number, choice: hint("Pie angle",
			"Change of direction at one full weld. The saw is set to half of it.")},
		{head: length("CLR"), width: 9, style: number, choice: hint("CLR", "Radius of the bend to the tube's centreline.")},
		{head: length("Main tube OD"), width: 9, style: number},
		{head: "Branch angle (°)", width: 9, style: number},
		{head: "Sides", width: 7, style: number, choice: hint("Sides", "2 for a fillet welded inside and out.")},
		{head: length("Weld length"), width: 9, style: number, choice: hint("Weld length",
			"Length of one weld as measured; blank where the tube gives it.")},
		{head: "Passes", width: 7, style: number},
		{head: "Filler", width: 7, style: text, choice: words("Filler", "yes", "no")},
		{head: setUpHead, width: 24, style: text, choice: Validation{
			Source:     fmt.Sprintf("%s!$A$%d:$A$%d", quoted(choices), firstRow, firstRow+19),
			ErrorTitle: "Set-up", Error: "This set-up is not on the sheet Choices. Keep it?",
		}},
		{head: length("Tube length"), width: 9, style: number, choice: hint("Tube length",
			"Straight tube bought for this line; each tube on one line only.")},
		{head: length("Purge length"), width: 9, style: number, choice: hint("Purge length", "Tube between the dams.")},
		{head: "Purges", width: 7, style: number, choice: hint("Purges",
			"Purge fills for one joint; a fraction where several joints share one, 0 = not purged.")},
		{head: "Colour", width: 8, style: text, choice: words("Colour", "bright", "straw", "blue")},
		{head: "Note", width: 26, style: text},
	}
}

// exampleJoints are rows of an invented exhaust, in the order of the columns;
// nil is a blank cell. Their tube is in the stock as shipped.
func exampleJoints(metric bool) [][]any {
	const (
		car   = exampleCar
		alloy = "grade 2"
	)
	set := setups()
	cup, rolls, hand := set[0], set[1], set[2]
	if metric {
		return [][]any{
			{"1", car, "front pipe", "butt", 2, 63.5, 1.2, alloy, nil, nil, nil, nil, nil, nil, nil, 1, "yes", cup, 350, 300, 1, "straw", "example"},
			{"2", car, "front pipe, lower bend", "pie cut", 2, 63.5, 1.2, alloy, 45, 15, 95, nil, nil, nil, nil, 1, "yes", rolls, nil, 300, 1, "straw", "example: three pies a bend"},
			{"3", car, "over the axle", "pie cut", 1, 76.1, 1.2, alloy, 90, 15, 114, nil, nil, nil, nil, 1, "yes", hand, nil, 450, 1, "straw", "example: six pies, one purge"},
			{"4", car, "mid pipe", "butt", 2, 76.1, 1.2, alloy, nil, nil, nil, nil, nil, nil, nil, 1, "yes", rolls, 900, 300, 1, "bright", "example"},
			{"5", car, "mid pipe flange", "fillet", 2, 76.1, 1.2, alloy, nil, nil, nil, nil, nil, 1, nil, 1, "yes", cup, nil, 200, 1, "straw", "example"},
			{"6", car, "front flange", "fillet", 2, 63.5, 1.2, alloy, nil, nil, nil, nil, nil, 2, nil, 1, "yes", cup, nil, 200, 1, "straw", "example: welded in and out"},
			{"7", car, "hanger brackets", "seam", 4, 76.1, 1.2, alloy, nil, nil, nil, nil, nil, nil, 40, 1, "yes", cup, nil, 300, 0.25, "straw", "example: four share a purge"},
			{"8", car, "balance pipe", "branch", 2, 50.8, 0.9, alloy, nil, nil, nil, 76.1, 60, nil, nil, 1, "yes", cup, 150, 300, 1, "straw", "example"},
			{"9", car, "resonator ends", "butt", 2, 63.5, 0.9, alloy, nil, nil, nil, nil, nil, nil, nil, 1, "no", rolls, 250, 300, 1, "straw", "example: fusion weld"},
			{"10", car, "tail tip", "butt", 2, 88.9, 1.2, alloy, nil, nil, nil, nil, nil, nil, nil, 1, "yes", hand, 120, 150, 1, "blue", "example: tinted afterwards"},
		}
	}
	return [][]any{
		{"1", car, "front pipe", "butt", 2, 2.5, 0.049, alloy, nil, nil, nil, nil, nil, nil, nil, 1, "yes", cup, 14, 12, 1, "straw", "example"},
		{"2", car, "front pipe, lower bend", "pie cut", 2, 2.5, 0.049, alloy, 45, 15, 3.75, nil, nil, nil, nil, 1, "yes", rolls, nil, 12, 1, "straw", "example: three pies a bend"},
		{"3", car, "over the axle", "pie cut", 1, 3, 0.047, alloy, 90, 15, 4.5, nil, nil, nil, nil, 1, "yes", hand, nil, 18, 1, "straw", "example: six pies, one purge"},
		{"4", car, "mid pipe", "butt", 2, 3, 0.047, alloy, nil, nil, nil, nil, nil, nil, nil, 1, "yes", rolls, 36, 12, 1, "bright", "example"},
		{"5", car, "mid pipe flange", "fillet", 2, 3, 0.047, alloy, nil, nil, nil, nil, nil, 1, nil, 1, "yes", cup, nil, 8, 1, "straw", "example"},
		{"6", car, "front flange", "fillet", 2, 2.5, 0.049, alloy, nil, nil, nil, nil, nil, 2, nil, 1, "yes", cup, nil, 8, 1, "straw", "example: welded in and out"},
		{"7", car, "hanger brackets", "seam", 4, 3, 0.047, alloy, nil, nil, nil, nil, nil, nil, 1.5, 1, "yes", cup, nil, 12, 0.25, "straw", "example: four share a purge"},
		{"8", car, "balance pipe", "branch", 2, 2, 0.035, alloy, nil, nil, nil, 3, 60, nil, nil, 1, "yes", cup, 6, 12, 1, "straw", "example"},
		{"9", car, "resonator ends", "butt", 2, 2.5, 0.035, alloy, nil, nil, nil, nil, nil, nil, nil, 1, "no", rolls, 10, 12, 1, "straw", "example: fusion weld"},
		{"10", car, "tail tip", "butt", 2, 4, 0.049, alloy, nil, nil, nil, nil, nil, nil, nil, 1, "yes", hand, 5, 6, 1, "blue", "example: tinted afterwards"},
	}
}
