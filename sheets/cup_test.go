package sheets_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"seamtally/sheets/sheetstest"
)

// A cup's number is its bore in sixteenths of an inch: common practice, no
// source. #14 is 7/8 in, half of which is welded before a stop.
func TestCupByItsNumber(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	clean, _ := price(t, small(t, butt("J-1")))
	row := tableRow(t, sheetstest.Read(t, clean), "cup, stop and start")
	byNumber, _ := price(t, typeIn(t, clean, typed{"Assumptions", fmt.Sprint("C", row), "#14"}))
	byLength, _ := price(t, typeIn(t, clean, typed{"Assumptions", fmt.Sprint("C", row), 0.875}))
	a, b := sheetstest.Read(t, byNumber), sheetstest.Read(t, byLength)
	assert.Equal(t, 0.4375, figure(t, a, "Joints", "bead_limit", 2).Num)
	assert.Equal(t, figure(t, b, "Joints", "line_cost", 2), figure(t, a, "Joints", "line_cost", 2))
	equal(t, byNumber, sheetstest.Recalculate(t, byNumber))

	why := refused(t, typeIn(t, clean, typed{"Assumptions", fmt.Sprint("C", row), "#x"}))
	assert.Contains(t, why, fmt.Sprint("Assumptions!C", row))
}
