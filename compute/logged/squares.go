package logged

import (
	"errors"

	"gonum.org/v1/gonum/mat"
)

// errTied says that rows do not settle every unknown.
var errTied = errors.New("the rows do not settle every unknown; log more stages")

// LeastSquares finds the x for which the squares of a*x - y have the least sum, by
// QR. The rows of a that do not settle every x are refused.
func LeastSquares(a *mat.Dense, y []float64) ([]float64, error) {
	rows, cols := a.Dims()
	if rows < cols {
		return nil, errTied
	}
	var qr mat.QR
	qr.Factorize(a)
	var x mat.VecDense
	if err := qr.SolveVecTo(&x, false, mat.NewVecDense(len(y), y)); err != nil {
		return nil, errTied
	}
	return x.RawVector().Data, nil
}
