package learned

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/gonum"
)

// linear is y = W x + b.
type linear struct{ weight, bias array }

// all applies it to each row of x, n rows.
func (l linear) all(s *scratch, x []float32, n int) []float32 {
	y := s.take(n * l.weight.rows)
	for i := range n {
		copy(y[i*l.weight.rows:], l.bias.data)
	}
	multiply(x, n, l.weight, y)
	return y
}

// one applies it to one row; what comes of it is the caller's to keep.
func (l linear) one(x []float32) []float32 {
	y := append([]float32(nil), l.bias.data...)
	multiply(x, 1, l.weight, y)
	return y
}

// byColumns is y = W x + b for rows that are nothing in most places: it holds the columns of
// W as rows, and goes through those of the other places alone.
type byColumns linear

func (l byColumns) all(s *scratch, x []float32, n int) []float32 {
	width := l.weight.cols
	y := s.take(n * width)
	for i := range n {
		row := y[i*width : (i+1)*width]
		copy(row, l.bias.data)
		for k, v := range x[i*l.weight.rows : (i+1)*l.weight.rows] {
			if v != 0 {
				routines.Saxpy(width, v, l.weight.row(k), 1, row, 1)
			}
		}
	}
	return y
}

// routines are called here without the package that takes others in their place: it keeps
// all 150 in the program, half a megabyte.
var routines gonum.Implementation

// multiply adds x Wᵀ to y, x of n rows. Row by row is quicker by two thirds here than the
// product of matrices, which cuts them into blocks for goroutines.
func multiply(x []float32, n int, w array, y []float32) {
	for i := range n {
		routines.Sgemv(blas.NoTrans, w.rows, w.cols, 1, w.data, w.cols, x[i*w.cols:], 1, 1, y[i*w.rows:], 1)
	}
}

// lstm is one direction of one recurrent layer; its gates stand in the order in, keep,
// new, out.
type lstm struct {
	in interface {
		all(s *scratch, x []float32, n int) []float32
	} // the bias is that of both products
	recurrent array
	backward  bool
}

// run reads the rows of x in its direction and writes its states into out at the given
// column of rows of width.
func (l lstm) run(s *scratch, x []float32, n int, out []float32, column, width int) {
	size := l.recurrent.cols
	gates := l.in.all(s, x, n)
	state, memory := s.take(size), s.take(size)
	for step := range n {
		i := step
		if l.backward {
			i = n - 1 - step
		}
		g := gates[i*4*size : (i+1)*4*size]
		multiply(state, 1, l.recurrent, g)
		for k := range size {
			memory[k] = sigmoid(g[size+k])*memory[k] + sigmoid(g[k])*tanh(g[2*size+k])
			state[k] = sigmoid(g[3*size+k]) * tanh(memory[k])
		}
		copy(out[i*width+column:], state)
	}
}

// sigmoids are 1/(1+e^-x) from -sigmoidsTo to sigmoidsTo, sigmoidsPer a unit.
var sigmoids = func() (table [2*sigmoidsTo*sigmoidsPer + 2]float32) {
	for i := range table {
		table[i] = float32(1 / (1 + math.Exp(sigmoidsTo-float64(i)/sigmoidsPer)))
	}
	return table
}()

const sigmoidsTo, sigmoidsPer = 16, 64

// sigmoid is 1/(1+e^-x) to three parts in a million, read between two entries of the table:
// the network asks for it fifty thousand times a message.
func sigmoid(x float32) float32 {
	at := (min(max(x, -sigmoidsTo), sigmoidsTo) + sigmoidsTo) * sigmoidsPer
	i := int(at)
	low := sigmoids[i]
	return low + (at-float32(i))*(sigmoids[i+1]-low)
}

func tanh(x float32) float32 { return 2*sigmoid(2*x) - 1 }

// exp is e to the x, to about one part in ten million, quicker than the exact one. The
// polynomial is the usual expansion of 2^f on |f| ≤ ½.
func exp(x float32) float32 {
	const log2e = 1.44269504088896341
	switch {
	case x < -87:
		return 0
	case x > 88:
		x = 88
	}
	t := x * log2e
	n := float32(int32(t + 0.5))
	if t < -0.5 {
		n = float32(int32(t - 0.5))
	}
	f := (t - n) * 0.6931471805599453
	p := 1 + f*(1+f*(0.5+f*(1.0/6+f*(1.0/24+f*(1.0/120+f*(1.0/720))))))
	return p * math.Float32frombits(uint32(int32(n)+127)<<23)
}

func relu(x []float32) {
	for i, v := range x {
		x[i] = max(v, 0)
	}
}

// softmax makes chances of scores, in place.
func softmax(x []float32) {
	top := x[0]
	for _, v := range x {
		top = max(top, v)
	}
	var sum float32
	for i, v := range x {
		x[i] = exp(v - top)
		sum += x[i]
	}
	for i := range x {
		x[i] /= sum
	}
}
