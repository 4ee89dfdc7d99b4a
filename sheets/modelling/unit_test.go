package modelling_test

import (
	"regexp"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"seamtally/compute/model"
	"seamtally/sheets/sheetstest"
)

// knownUnits are the units that a heading may name; $ is the book's money.
func knownUnits() []string {
	return strings.Fields("in mm cm ft m in² mm² in/min mm/min ft³/h L/min ft³ L m³ lb g kg lb/in³ g/cm³ $/ft³ $/L $/m³ $/lb $/kg $/ft $/m s min h $ $/h $/min ° % ppm")
}

// cornerOf is the first cell of a name.
func (b *ruleBook) cornerOf(name string) string {
	ref, _ := excelize.CoordinatesToCellName(b.names[name].Col1, b.names[name].Row1)
	return ref
}

// labelOf is the heading over a cell, or the label at the left of its row.
func (b *ruleBook) labelOf(s spot) string {
	switch {
	case s.list != nil:
		return s.sheet.cell(s.col, s.list.head).Text
	case s.sheet.title == sheetSummary:
		key, at := b.block(s.row)
		if sameShape(key) {
			return b.headingOver(s.sheet, s.col, at.Row1)
		}
		if s.place == "summary.all cars" {
			return s.sheet.cell(s.col, s.row-1).Text
		}
	case strings.HasPrefix(s.place, "table."):
		at := b.names[strings.TrimPrefix(s.place, "table.")]
		return s.sheet.cell(s.col, at.Row1-1).Text
	case strings.HasPrefix(s.place, "assume.log."):
		return strings.TrimPrefix(s.place, "assume.log.")
	case s.ref() == sheetAssumptions+"!"+b.cornerOf("seamtally.blanks"):
		return s.sheet.cell(s.col+1, s.row).Text
	}
	return s.sheet.cell(2, s.row).Text
}

// unitOf is the unit of a number: in its heading, beside it, or a per cent sign
// in its format.
func (b *ruleBook) unitOf(s spot) string {
	unit := ""
	if m := unitInHeading.FindStringSubmatch(b.labelOf(s)); m != nil {
		unit = m[1]
	}
	switch key, _ := b.block(s.row); {
	case s.sheet.title == sheetSummary && key != "" && !sameShape(key):
		unit = s.sheet.cell(s.col+1, s.row).Text
	case s.sheet.title == sheetAssumptions && b.key(s.row) != "" && s.col == 3:
		unit = s.sheet.cell(4, s.row).Text
	case s.sheet.title == sheetAssumptions && b.key(s.row) != "":
		unit = s.sheet.cell(6, s.row).Text
	}
	if slices.Contains(knownUnits(), strings.ReplaceAll(unit, b.currency(), "$")) {
		return unit
	}
	if strings.Contains(s.form, "%") {
		return "%"
	}
	return ""
}

// sayWhat are the words by which a heading says what a number without a unit
// counts, or that it is a plain one.
func sayWhat() []*regexp.Regexp {
	return []*regexp.Regexp{
		regexp.MustCompile(`(?i)^(\w+[ -])?(rows|joints|welds|cuts|starts|stops|dabs|tacks|fills|set-ups|pies|sticks|rods|bottles|cars|days|passes|cells|tables|ends|sides|welders|coupons|laps|errors|assumptions|lists|trials|orders|sheets|columns|inputs)\b`),
		regexp.MustCompile(`(?i)(^lines of|points not filled in$)`),
		regexp.MustCompile(`^(Day|Number) (on|from) which`),                                                              // a date; the seed
		regexp.MustCompile(`(?i)(factor|,? over |, in walls|, in diameters|times |learning|sine|cosine|share|for each)`), // a ratio
		regexp.MustCompile(`(?i)(number$|number \(0: all\)$|^No\.$)`),                                                    // of a line
	}
}

// unitOnAll: every number has its unit, or says what it counts.
func unitOnAll(b *ruleBook) (out []breach, n int) {
	checks := map[string]bool{}
	for _, q := range b.model.Checks() {
		checks["line."+q.Key] = true
	}
	for _, q := range b.model.Line.Quantities {
		checks["line."+q.Key] = checks["line."+q.Key] || q.UnitOf == "flag"
	}
	for _, t := range b.model.Tables {
		for _, q := range t.Quantities {
			checks["table."+t.Prefix+"_"+q.Key] = q.UnitOf == "flag" // as that of a check
		}
	}
	says := sayWhat()
	for _, s := range b.spots() {
		if s.Kind != sheetstest.Number || checks[s.place] { // a check's heading says what is wrong where it is 1
			continue
		}
		n++
		if s.list != nil {
			want := strings.ReplaceAll(model.UnitLabel(b.model.Line.Quantity(s.list.keys[s.col])), "$", b.currency())
			if want != "" && b.unitOf(s) != want {
				out = append(out, s.breaks("a number in %s, under %q", want, b.labelOf(s)))
				continue
			}
		}
		if b.unitOf(s) == "" && !slices.ContainsFunc(says, func(r *regexp.Regexp) bool { return r.MatchString(b.labelOf(s)) }) {
			out = append(out, s.breaks("a number without a unit, under %q", b.labelOf(s)))
		}
	}
	return out, n
}
