package habits_test

import (
	"fmt"
	"strings"
)

var (
	sprint  = fmt.Sprint
	sprintf = fmt.Sprintf
)

// spellings are headings as shops write them. Before the semicolon stand those that
// the README or the file of headings has: they are plain.
func spellings() []habit {
	var out []habit
	for _, s := range []struct{ key, plain, hard string }{
		{"mark", "Joint|Weld no|Item|Seam no.|Ref|Weld ID|#", "Piece|Naht|Pos|Pos.|Lfd. Nr.|Giunto|N.|Nr|No|What|Jt"},
		{"kind", "Joint type|Weld type|Type|KIND|Style", "Art|Art der Naht|Tipo|What|Form|Prep|Process|Typ|Description|Descr.|Config|Tipo di giunto|Verbindung|Class"},
		{"qty", "Quantity|No. off|Qty/car|QTY|Qty per car|No off|Anzahl|Menge|Stück|How many|Joints per car|Each|pcs|Welds/car",
			"How many on the car|Nr of|x|Stk|Stk.|Anz.|To weld|Off/car|Per|Number|N°|Q.tà|Quantità|No.|Times|QPC|Q|Pezzi|Anzahl/Fzg|Set of|Each car|How many of these|Welds|Count per|Needed|Reqd|Req'd|Required|Nos off"},
		{"od", "O.D.|Tube OD|Ø|Outside dia|Outside diameter|od|Dia|Pipe OD|Außendurchmesser|Tube dia.", "Size|Tube|D|Rohr-Ø|da|Ø außen|Ø esterno|Diametro esterno|Diameter over all|Across|Round|OD of tubing used|Aussen|Pipe|Ø a|Tube size OD|D ext"},
		{"wall", "Wall thk|Wall thickness|Thickness|WALL|T|Tube wall|Wandstärke|Wanddicke|Spessore|Wall thk.", "Wandst.|Thk|WT|w.t.|s|Gauge thickness|Wd.|Stärke|Sp.|Sp. (s)|Skin|Dicke|Blech|Wall/ga|Thk'ness|W"},
		{"alloy", "Grade|Material|Mat'l|Werkstoff|Tube alloy", "Mat.|Ti grade|Stuff|Metal|Lega|Spec|Stock"},
		{"bend", "Bend|Bend °|Total bend|Elbow|Turn", "Angle|Angle of elbow|Bogen|Winkel|Winkel ges.|Gradi|Curva|Deg|Total|Sweep|Corner|Bogenwinkel|Angle tot."},
		{"pie_angle", "Deg per pie|Pie angle|Angle per pie|Segment angle|Bend per weld", "Cut|Each|Seg. °|Per cut|Slice|Step|Winkel/Seg|Segmentwinkel|per piece|Pie °|Pies at|Angle between|Spicchio|Each piece|Mitre|per joint °"},
		{"clr", "Centreline radius|CL radius|Bend radius|C.L.R.", "R|Radius|Rm|Biegeradius|Raggio|Rad."},
		{"run_od", "Main tube OD|Header OD|Run OD", "Onto|On to|Sits on|Main|Runs into|Hauptrohr|Main pipe|Other tube"},
		{"branch_angle", "Angle to main|Tee angle", "Angle|Winkel|Y angle|Set at|Angolo"},
		{"leg", "Leg length|Fillet size|Fillet leg", "a|Size|Z|Throat|Kehlnaht|Lato|Fillet a"},
		{"weld_length", "Seam length|Length of weld", "Length|L|Long|Nahtlänge ges.|Lunghezza|Run length|Weld inches"},
		{"filler", "Filler Y/N|With filler", "Rod Y/N|Zusatz|Fusion|Wire fed|Apporto|Autogenous"},
		{"passes", "No of passes|Weld passes", "Runs|Layers|Lagen|Beads|Passate|Times round"},
		{"setup", "Shielding|Set up|Shield", "Gas|Method|How|Schutz|Torch|Cup"},
		{"tube", "Straight length|Straight tube", "Length|Cut length|L|Rohr|Cut|Tube lg|Straight bit|Lunghezza|Saw to"},
		{"purge_length", "Length purged|Dam to dam", "Purge|Formieren|Dams|Purge vol length"},
		{"purges", "No of purges|Purge set-ups", "Purge|Purge count|Formieren|Back purge"},
		{"car", "Vehicle|Build|Car model|Fahrzeug", "Unit|Fzg.|Auto|Belongs to|On|Model|Which|Macchina|Kit|Assembly"},
	} {
		for i, from := range []string{s.plain, s.hard} {
			for _, head := range strings.Split(from, "|") {
				h := named(s.key+" headed "+head, heading, func(b *shopBook) bool {
					return b.each(s.key, func(_ *list, c *column) { c.head, c.noUnit = head, strings.Contains(head, "°") })
				}).of("head-" + s.key)
				if h.hard = i == 1; s.key == "car" {
					h = h.atLeast(2)
				} else {
					h = h.need(s.key)
				}
				out = append(out, h)
			}
		}
	}
	all := func(name string, heads map[string]string) habit {
		return named(name, heading, func(b *shopBook) (some bool) {
			for key, head := range heads {
				some = b.each(key, func(_ *list, c *column) { c.head = head }) || some
			}
			return some
		}).of("head-mark head-kind head-qty head-od head-wall head-alloy head-bend head-pie_angle head-clr head-car head-tube head-run_od head-weld_length head-passes")
	}
	return append(out,
		all("headings in German", map[string]string{"mark": "Naht", "kind": "Nahtart", "qty": "Anzahl", "od": "Außendurchmesser", "wall": "Wandstärke", "alloy": "Werkstoff", "bend": "Bogenwinkel", "pie_angle": "Segmentwinkel", "clr": "Biegeradius", "car": "Fahrzeug", "tube": "Rohrlänge", "weld_length": "Nahtlänge", "passes": "Lagen", "section": "Wo"}).asHard(),
		all("headings in short German", map[string]string{"mark": "Pos.", "kind": "Art", "qty": "Stk", "od": "Ø", "wall": "Wandst.", "alloy": "Wst.", "bend": "Bogen", "pie_angle": "Seg.", "clr": "R", "car": "Fzg.", "tube": "L", "run_od": "Ø HR"}).asHard(),
		all("headings in Italian", map[string]string{"mark": "N.", "kind": "Tipo giunto", "qty": "Q.tà", "od": "Diametro esterno", "wall": "Spessore", "alloy": "Materiale", "bend": "Curva", "pie_angle": "Spicchio", "clr": "Raggio", "car": "Veicolo", "tube": "Lunghezza", "section": "Zona", "passes": "Passate"}).asHard(),
		all("headings in French", map[string]string{"mark": "Repère", "kind": "Type", "qty": "Quantité", "od": "Ø ext.", "wall": "Épaisseur", "alloy": "Nuance", "bend": "Coude", "pie_angle": "Angle/secteur", "car": "Véhicule"}).asHard(),
		all("headings as a British shop has them", map[string]string{"mark": "Weld No.", "kind": "Joint type", "qty": "No. off", "od": "O/D", "wall": "W/T", "alloy": "Mat'l", "bend": "Bend °", "pie_angle": "Lobster cut", "clr": "C/L rad"}).asHard(),
	)
}
