package oddbooks_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// The words from which small sheets are thrown together; the last two are blank.
var (
	oneHeading = strings.Split("Joint no;Kind;Qty;OD (in);O.D. mm;OD;Wall;Wall (mm);WALL THK. [in];Alloy;To alloy;Bend;Pie angle;CLR;End pies;Leg;Sides;Root gap (mm);Weld length;Passes;Filler;Wire;Set-up;Tube length;Purge length (mm);Purge bore;Purges;Weld colour;Car;Main OD;Main wall;Branch angle;Cut angle;Remarks;Arc time, each weld (min);Stops;", ";")
	oneCell    = strings.Split("3;2.5;0.049;1.2;76.2;0;1;2;90;-1;1e-9;1000;3.000\";18 ga;2-1/2;1,2;1.5D;#16;butt;pie cut;fillet;branch;seam;BUTT;yes;no;fusion;half;full;bright;straw;blue;grade 2;Gr9;Ti-6Al-4V;304L;cup;by hand;on rolls;Demo car;A*B;Total;note;see D-7;=1+1=2;=1+2=3;=\"butt\"=butt;'3;３;½;1.5 mm;10 in;30 cm;TRUE;1/2;100%;left out: x;  ;\u00a0", ";")
)

// thrown is a small sheet of headings and cells by chance: an outside diameter
// and a wall are among them, and most rows have sensible ones.
func thrown(r *rand.Rand) string {
	pick := func(from []string) string { return from[r.IntN(len(from))] }
	heads := []string{"Joint no", pick([]string{"OD (in)", "OD", "o.d."}), pick([]string{"Wall (in)", "wall"}), "Kind"}
	for range r.IntN(9) {
		heads = append(heads, pick(oneHeading))
	}
	rows := []string{strings.Join(heads, "|")}
	if r.IntN(4) == 0 {
		rows = append([]string{"Demo works (invented)", ""}, rows...)
	}
	for range 1 + r.IntN(7) {
		row := []string{"J", pick([]string{"3", "2.5", "76.2 mm", "3\""}), pick([]string{"0.049", "18 ga", "0.065"}), pick([]string{"butt", "butt", "fillet", "", "pie cut"})}
		for range heads[4:] {
			if r.IntN(5) == 0 {
				row = append(row, pick(oneCell))
			} else {
				row = append(row, "")
			}
		}
		if r.IntN(6) == 0 {
			row[r.IntN(len(row))] = pick(oneCell)
		}
		rows = append(rows, strings.Join(row, "|"))
	}
	return strings.Join(rows, "\n")
}

// LibreOffice agrees on every value of sheets thrown together.
func TestThrownSheetsRecalculate(t *testing.T) {
	t.Parallel() // most of its time is LibreOffice's, or another program's
	if testing.Short() {
		t.Skip("heavy")
	}
	sheetstest.NeedLibreOffice(t)
	r := rand.New(rand.NewPCG(7, 11))
	var outs, grids []string
	priced, left := 0, 0
	sheetsThrown := 8
	if shop.Thorough() {
		sheetsThrown = 24
	}
	for range sheetsThrown {
		grid := thrown(r)
		out, rep := pricedBook(t, shop.Put(t, smallest(grid)))
		priced, left = priced+rep.Priced, left+rep.LeftOut
		again, _ := pricedBook(t, out)
		require.True(t, shop.Content(t, out) == shop.Content(t, again), "priced again, the bytes differ:\n%s", grid)
		outs, grids = append(outs, out), append(grids, grid)
	}
	t.Logf("%d rows priced, %d left out", priced, left)
	require.Greater(t, priced, sheetsThrown)
	for i, live := range sheetstest.RecalculateAll(t, outs...) {
		stored, shop := sheetstest.Read(t, outs[i]), sheetstest.Read(t, shop.Put(t, smallest(grids[i])))
		withoutBlanks(stored, shop)
		for ref, v := range shop["Joints"] {
			if v.Formula != "" {
				delete(stored["Joints"], ref) // its stored value is made up
			}
		}
		if sheetstest.Compare(t, stored, live, 1e-9); t.Failed() {
			t.Fatalf("sheet %d:\n%s", i, grids[i])
		}
	}
}
