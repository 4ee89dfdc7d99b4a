package model

import "seamtally/compute/formula"

// Cents is money to the cent.
func Cents(x float64) float64 { return formula.Round(x, 2) }

// MoneyPlaces is far behind the cent, and far before the dust that float64 leaves
// behind a sum.
const MoneyPlaces = 8
