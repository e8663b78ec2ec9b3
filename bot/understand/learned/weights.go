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

var errWeights = errors.New("the file of weights does not fit this program: train again, see DEVELOPERS.md")

// readWeights takes a file of weights apart.
func readWeights(file []byte) (header, map[string]array, error) {
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
	arrays := make(map[string]array, len(h.Arrays))
	for _, a := range h.Arrays {
		shaped, size := shapeOf(a.Shape)
		if 2*size > len(rest) {
			return h, nil, errWeights
		}
		shaped.data = make([]float32, size)
		for i := range shaped.data {
			shaped.data[i] = half(binary.LittleEndian.Uint16(rest[2*i:]))
		}
		arrays[a.Name], rest = shaped, rest[2*size:]
	}
	if len(rest) > 0 {
		return h, nil, errWeights
	}
	return h, arrays, nil
}

// shapeOf makes a matrix of an array: all dimensions after the first are its columns.
func shapeOf(shape []int) (array, int) {
	size := 1
	for _, n := range shape {
		size *= n
	}
	if len(shape) < 2 || size == 0 {
		return array{rows: 1, cols: size}, size
	}
	return array{rows: shape[0], cols: size / shape[0]}, size
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
