package joints_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// A cup's number is its bore in sixteenths of an inch: common practice, no
// source. #14 is 7/8 in, half of which is welded before a stop.
func TestCupByItsNumber(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	clean, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	row := shop.TableRow(t, sheetstest.Read(t, clean), "cup, stop and start")
	byNumber, _ := shop.Price(t, shop.TypeIn(t, clean, shop.At("Assumptions", fmt.Sprint("C", row), "#14")))
	byLength, _ := shop.Price(t, shop.TypeIn(t, clean, shop.At("Assumptions", fmt.Sprint("C", row), 0.875)))
	a, b := sheetstest.Read(t, byNumber), sheetstest.Read(t, byLength)
	assert.Equal(t, 0.4375, shop.Figure(t, a, "Joints", "bead_limit", 2).Num)
	assert.Equal(t, shop.Figure(t, b, "Joints", "line_cost", 2), shop.Figure(t, a, "Joints", "line_cost", 2))
	shop.Equal(t, byNumber, sheetstest.Recalculate(t, byNumber))

	why := shop.Refused(t, shop.TypeIn(t, clean, shop.At("Assumptions", fmt.Sprint("C", row), "#x")))
	assert.Contains(t, why, fmt.Sprint("Assumptions!C", row))
}
