package learned

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"math"
)

// magic begins a file of weights.
const magic = "reader1\n"

// header says what the arrays of a file of weights are and what their rows stand for.
type header struct {
	Words    []string   `json:"words"`
	Chars    string     `json:"chars"`
	Concepts []string   `json:"concepts"`
	Tags     [][]string `json:"tags"`
	Acts     []string   `json:"acts"`
	Wants    []string   `json:"wants"`
	Context  int        `json:"context"`
	Hidden   int        `json:"hidden"`
	Arrays   []struct {
		Name  string `json:"name"`
		Shape []int  `json:"shape"`
	} `json:"arrays"`
}

// array is a matrix of weights, row by row; a vector has one row.
type array struct {
	rows, cols int
	data       []float32
}

func (a array) row(i int) []float32 { return a.data[i*a.cols : (i+1)*a.cols] }

// halves are a matrix as it stands in the file, in numbers of half precision.
type halves struct {
	rows, cols int
	data       []byte
}

// array reads all of it.
func (h halves) array() array {
	a := array{h.rows, h.cols, make([]float32, h.rows*h.cols)}
	h.into(a.data, 0)
	return a
}

// into reads the numbers from one row on until out is full.
func (h halves) into(out []float32, row int) {
	data := h.data[2*row*h.cols:]
	for i := range out {
		out[i] = half(binary.LittleEndian.Uint16(data[2*i:]))
	}
}

// transposed reads all of it, columns as rows.
func (h halves) transposed() array {
	a := array{h.cols, h.rows, make([]float32, h.rows*h.cols)}
	for i := range h.rows {
		for k := range h.cols {
			a.data[k*a.cols+i] = half(binary.LittleEndian.Uint16(h.data[2*(i*h.cols+k):]))
		}
	}
	return a
}

var errWeights = errors.New("the file of weights does not fit this program: train again, see DEVELOPERS.md")

// readWeights takes a file of weights apart.
func readWeights(file []byte) (header, map[string]halves, error) {
	var h header
	rest, ok := bytes.CutPrefix(file, []byte(magic))
	if !ok || len(rest) < 4 {
		return h, nil, errWeights
	}
	n := int(binary.LittleEndian.Uint32(rest))
	if rest = rest[4:]; n > len(rest) {
		return h, nil, errWeights
	}
	if err := json.Unmarshal(rest[:n], &h); err != nil {
		return h, nil, fmt.Errorf("%w: %w", errWeights, err)
	}
	rest = rest[n:]
	arrays := make(map[string]halves, len(h.Arrays))
	for _, a := range h.Arrays {
		rows, cols := shapeOf(a.Shape)
		size := 2 * rows * cols
		if size > len(rest) {
			return h, nil, errWeights
		}
		arrays[a.Name], rest = halves{rows, cols, rest[:size]}, rest[size:]
	}
	if len(rest) > 0 {
		return h, nil, errWeights
	}
	return h, arrays, nil
}

// shapeOf makes a matrix of an array: all dimensions after the first are its columns.
func shapeOf(shape []int) (rows, cols int) {
	size := 1
	for _, n := range shape {
		size *= n
	}
	if len(shape) < 2 || size == 0 {
		return 1, size
	}
	return shape[0], size / shape[0]
}

// half reads a number of IEEE 754 half precision, as no weight is infinite: exponent and
// fraction moved to their places are that number in units of 2^-112.
func half(b uint16) float32 {
	const unit = 1 << 112
	x := math.Float32frombits(uint32(b&0x7fff)<<13) * unit
	if b>>15 != 0 {
		return -x
	}
	return x
}
