package units

// The base dimensions. A plain number (a count, a share, parts per million)
// has none of the first five; its scale is kept under the last.
const (
	length = iota
	duration
	mass
	money
	angle
	number
	dimensions
)

// atoms are the units that all others are built of. Exponents of atoms, not
// scales, are what a Unit stores, so that h/day times day is h again without
// a factor, and so that every scale stays exact.
const (
	atomMM = iota
	atomCM
	atomM
	atomIn
	atomFt
	atomLitre
	atomS
	atomMin
	atomH
	atomDay
	atomG
	atomKg
	atomLb
	atomOz
	atomMoney
	atomDegree
	atomPPM
	atomCount
)

// LargestExponent bounds the exponents that a checked formula may reach; a
// shop's quantities need no more than a fourth power.
const LargestExponent = 12

// atom is one unit that is not written in terms of others: its symbol, its
// base dimension, the power of that dimension (a litre is a length cubed) and
// its scale in base units (mm, s, kg, the book's currency, degree, one).
type atom struct {
	symbol string
	dim    int
	power  int
	num    int64
	den    int64
}

// atomAt returns the definition of one atom. All scales are exact: the inch
// is 25.4 mm and the pound 0.453 592 37 kg by the international agreement of
// 1959; the litre is a cubic decimetre.
func atomAt(i int) atom {
	switch i {
	case atomMM:
		return atom{"mm", length, 1, 1, 1}
	case atomCM:
		return atom{"cm", length, 1, 10, 1}
	case atomM:
		return atom{"m", length, 1, 1000, 1}
	case atomIn:
		return atom{"in", length, 1, 254, 10}
	case atomFt:
		return atom{"ft", length, 1, 3048, 10}
	case atomLitre:
		return atom{"L", length, 3, 1000000, 1}
	case atomS:
		return atom{"s", duration, 1, 1, 1}
	case atomMin:
		return atom{"min", duration, 1, 60, 1}
	case atomH:
		return atom{"h", duration, 1, 3600, 1}
	case atomDay:
		return atom{"day", duration, 1, 86400, 1}
	case atomG:
		return atom{"g", mass, 1, 1, 1000}
	case atomKg:
		return atom{"kg", mass, 1, 1, 1}
	case atomLb:
		return atom{"lb", mass, 1, 45359237, 100000000}
	case atomOz:
		return atom{"oz", mass, 1, 45359237, 1600000000}
	case atomMoney:
		return atom{"$", money, 1, 1, 1}
	case atomDegree:
		return atom{"°", angle, 1, 1, 1}
	default:
		return atom{"ppm", number, 1, 1, 1000000}
	}
}

// countWords are the labels of plain numbers. They have no dimension and
// scale 1; they are kept only to be shown.
const countWords = " 1 % rad each " +
	"bend bends bottle bottles car cars change changes coupon coupons cut cuts dab dabs " +
	"fill fills joint joints line lines pass passes pie pies place places purge purges rod rods row rows " +
	"share side sides spec specs start starts stick sticks stop stops tack tacks time times tube tubes " +
	"volume volumes weld welds welder welders yes/no "
