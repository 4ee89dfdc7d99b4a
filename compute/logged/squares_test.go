package logged_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"seamtally/compute/logged"
)

// digits is to how many the two agree.
func digits(want, got float64) float64 {
	if want == got {
		return 15
	}
	return -math.Log10(math.Abs(got-want) / math.Abs(want))
}

// Data sets and certified values of the Statistical Reference Datasets of the
// National Institute of Standards and Technology (StRD, linear regression: Norris,
// Longley, Wampler1 to 3), all from memory; that the fits agree to many digits, and
// the sums of squares too, says that they were remembered right.
func TestLeastSquaresAgainstCertifiedValues(t *testing.T) {
	norrisY := []float64{0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9, 10.8,
		557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2}
	norrisX := []float64{0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0, 447.5, 11.6,
		556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5}
	longley := [][]float64{
		{60323, 83.0, 234289, 2356, 1590, 107608, 1947}, {61122, 88.5, 259426, 2325, 1456, 108632, 1948},
		{60171, 88.2, 258054, 3682, 1616, 109773, 1949}, {61187, 89.5, 284599, 3351, 1650, 110929, 1950},
		{63221, 96.2, 328975, 2099, 3099, 112075, 1951}, {63639, 98.1, 346999, 1932, 3594, 113270, 1952},
		{64989, 99.0, 365385, 1870, 3547, 115094, 1953}, {63761, 100.0, 363112, 3578, 3350, 116219, 1954},
		{66019, 101.2, 397469, 2904, 3048, 117388, 1955}, {67857, 104.6, 419180, 2822, 2857, 118734, 1956},
		{68169, 108.4, 442769, 2936, 2798, 120445, 1957}, {66513, 110.8, 444546, 4681, 2637, 121950, 1958},
		{68655, 112.6, 482704, 3813, 2552, 123366, 1959}, {69564, 114.2, 502601, 3931, 2514, 125368, 1960},
		{69331, 115.7, 518173, 4806, 2572, 127852, 1961}, {70551, 116.9, 554894, 4007, 2827, 130081, 1962},
	}
	wampler3 := []float64{760, -2042, 2111, -1684, 3888, 1858, 11379, 17560, 39287, 64382, 113159, 175108, 273291, 400186, 581243, 811568,
		1121004, 1506550, 2002767, 2611612, 3369180}

	sets := []struct {
		name     string
		x        [][]float64
		y        []float64
		want     []float64
		residual float64 // its standard deviation
		digits   float64
	}{
		{name: "Norris", want: []float64{-0.262323073774029, 1.00211681802045}, residual: 0.884796396144373, digits: 11},
		{name: "Longley", want: []float64{-3482258.63459582, 15.0618722713733, -0.358191792925910e-1, -2.02022980381683,
			-1.03322686717359, -0.511041056535807e-1, 1829.15146461355}, residual: 304.854073561965, digits: 9},
		{name: "Wampler1", want: []float64{1, 1, 1, 1, 1, 1}, digits: 7},
		{name: "Wampler2", want: []float64{1, 0.1, 0.01, 0.001, 0.0001, 0.00001}, digits: 10},
		{name: "Wampler3", want: []float64{1, 1, 1, 1, 1, 1}, residual: 2360.14502379268, digits: 7},
	}
	for i, x := range norrisX {
		sets[0].x, sets[0].y = append(sets[0].x, []float64{1, x}), append(sets[0].y, norrisY[i])
	}
	for _, l := range longley {
		sets[1].x, sets[1].y = append(sets[1].x, append([]float64{1}, l[1:]...)), append(sets[1].y, l[0])
	}
	for i := range wampler3 {
		powers := make([]float64, 6)
		ones, tenths := 0.0, 0.0
		for k := range powers {
			powers[k] = math.Pow(float64(i), float64(k))
			ones += powers[k]
			tenths += powers[k] / math.Pow(10, float64(k))
		}
		for k, y := range []float64{ones, tenths, wampler3[i]} {
			sets[2+k].x, sets[2+k].y = append(sets[2+k].x, powers), append(sets[2+k].y, y)
		}
	}
	for _, s := range sets {
		t.Run(s.name, func(t *testing.T) {
			a := mat.NewDense(len(s.y), len(s.want), nil)
			for i, x := range s.x {
				a.SetRow(i, x)
			}
			got, err := logged.LeastSquares(a, s.y)
			require.NoError(t, err)
			least := 15.0
			for k := range s.want {
				least = min(least, digits(s.want[k], got[k]))
			}
			t.Logf("%.1f digits", least)
			assert.Greater(t, least, s.digits, "%v", got)
			if s.residual > 0 {
				squares := 0.0
				for i, x := range s.x {
					r := s.y[i]
					for k := range x {
						r -= x[k] * got[k]
					}
					squares += r * r
				}
				assert.InEpsilon(t, s.residual, math.Sqrt(squares/float64(len(s.y)-len(s.want))), 1e-9)
			}
		})
	}
}

// Rows that do not settle every unknown are refused.
func TestLeastSquaresThatAreTied(t *testing.T) {
	_, err := logged.LeastSquares(mat.NewDense(3, 2, []float64{1, 2, 2, 4, 3, 6}), []float64{1, 2, 3})
	assert.Error(t, err)
	_, err = logged.LeastSquares(mat.NewDense(1, 2, []float64{1, 2}), []float64{1})
	assert.Error(t, err)
}
