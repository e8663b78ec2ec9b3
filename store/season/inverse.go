package season

import "math"

// square is a matrix of zeros.
func square(n int) [][]float64 {
	m := make([][]float64, n)
	for i := range m {
		m[i] = make([]float64, n)
	}
	return m
}

// inverted is the inverse of a symmetric positive definite matrix by its Cholesky factor
// (Golub & Van Loan 2013, Matrix Computations, 4th ed., 4.2); ok is false for any other.
// The library's own would bring all of LAPACK into the program, for a handful of rows.
func inverted(m [][]float64) (inverse [][]float64, ok bool) {
	factor, ok := cholesky(m)
	if !ok {
		return nil, false
	}
	inverse = square(len(m))
	for column := range m {
		unit := make([]float64, len(m))
		unit[column] = 1
		for row, x := range solved(factor, unit) {
			inverse[row][column] = x
		}
	}
	return inverse, true
}

// cholesky is the lower triangle whose product with its own transpose is m.
func cholesky(m [][]float64) (l [][]float64, ok bool) {
	l = square(len(m))
	for i := range m {
		for j := range i + 1 {
			rest := m[i][j]
			for k := range j {
				rest -= l[i][k] * l[j][k]
			}
			switch {
			case j < i:
				l[i][j] = rest / l[j][j]
			case !(rest > 0):
				return nil, false
			default:
				l[i][i] = math.Sqrt(rest)
			}
		}
	}
	return l, true
}

// solved is the x for which the matrix of that factor times x is b, which it overwrites:
// forward through the lower triangle, then back through its transpose.
func solved(l [][]float64, b []float64) []float64 {
	for i := range b {
		for k := range i {
			b[i] -= l[i][k] * b[k]
		}
		b[i] /= l[i][i]
	}
	for i := len(b) - 1; i >= 0; i-- {
		for k := i + 1; k < len(b); k++ {
			b[i] -= l[k][i] * b[k]
		}
		b[i] /= l[i][i]
	}
	return b
}

// norm1 is the largest sum of a column without signs.
func norm1(m [][]float64) (most float64) {
	for j := range m {
		sum := 0.0
		for i := range m {
			sum += math.Abs(m[i][j])
		}
		most = max(most, sum)
	}
	return most
}
