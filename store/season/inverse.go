package season

import "math"

// symmetric is a symmetric matrix, both halves of it.
type symmetric [][]float64

// square is a matrix of zeros.
func square(n int) symmetric {
	m := make(symmetric, n)
	for i := range m {
		m[i] = make([]float64, n)
	}
	return m
}

// add adds to one element and to its mirror image.
func (m symmetric) add(i, j int, v float64) {
	m[i][j] += v
	if i != j {
		m[j][i] += v
	}
}

// addOuter adds times · x · xᵀ.
func (m symmetric) addOuter(times float64, x []float64) {
	for i := range x {
		for j := range x {
			m[i][j] += times * x[i] * x[j]
		}
	}
}

// times is the product with a vector.
func (m symmetric) times(x []float64) []float64 {
	out := make([]float64, len(m))
	for i, row := range m {
		out[i] = dot(row, x)
	}
	return out
}

// inverted is the inverse of a symmetric positive definite matrix by its Cholesky factor
// (Golub & Van Loan 2013, Matrix Computations, 4th ed., 4.2); ok is false for any other,
// and where its condition is worse than worstCondition.
// The library's own would bring all of LAPACK into the program, for a handful of rows.
func inverted(m symmetric) (inverse symmetric, ok bool) {
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
	return inverse, norm1(m)*norm1(inverse) < worstCondition
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
