package learned

// lettersRead is how many letters of a word are looked at.
const lettersRead = 16

// letters turns a word into features by its letters: short windows of letters are
// matched with learned patterns, and each pattern's best match counts.
type letters struct {
	index map[byte]int
	// taps are what each letter adds to each pattern at each place of the window, by
	// window, letter and place: the products are made once.
	taps [len(windows)][][][]float32
	bias [len(windows)][]float32
}

// windows are the widths of the windows of letters.
var windows = [...]int{2, 3, 4}

const (
	noLetter    = 0
	otherLetter = 1
)

func newLetters(chars string, embedding array, weights, biases [len(windows)]array) letters {
	l := letters{index: map[byte]int{}}
	for i := range len(chars) {
		l.index[chars[i]] = i + 2
	}
	for w, width := range windows {
		l.bias[w] = biases[w].data
		l.taps[w] = make([][][]float32, embedding.rows)
		for c := range embedding.rows {
			l.taps[w][c] = tapsOf(embedding.row(c), weights[w], width)
		}
	}
	return l
}

// tapsOf are the products of one letter with the patterns of one window, by place.
func tapsOf(letter []float32, weights array, width int) [][]float32 {
	taps := make([][]float32, width)
	for place := range taps {
		taps[place] = make([]float32, weights.rows)
		for p := range weights.rows {
			pattern := weights.row(p)
			for i, x := range letter {
				taps[place][p] += x * pattern[i*width+place]
			}
		}
	}
	return taps
}

// of writes the features of a word into out.
func (l letters) of(word string, out []float32) {
	var at [lettersRead]int
	n := 0
	for _, r := range word {
		if n == lettersRead {
			break
		}
		at[n] = otherLetter
		if r < 0x80 {
			if i, ok := l.index[byte(r)]; ok {
				at[n] = i
			}
		}
		n++
	}
	for w, width := range windows {
		l.window(w, width, at[:n], out[:len(l.bias[w])])
		out = out[len(l.bias[w]):]
	}
}

// window finds the best match of each pattern over all places of the word; beyond its
// ends stand empty places.
func (l letters) window(w, width int, at []int, best []float32) {
	clear(best) // no match is worth less than nothing
	sum := make([]float32, len(best))
	last := len(at) + width - 1
	if len(at) < lettersRead {
		last++ // a window that is all empty
	}
	for start := range last {
		copy(sum, l.bias[w])
		for place := range width {
			i := start - (width - 1) + place
			if i < 0 || i >= len(at) {
				continue
			}
			for p, x := range l.taps[w][at[i]][place] {
				sum[p] += x
			}
		}
		for p, x := range sum {
			best[p] = max(best[p], x)
		}
	}
}
