package learned

// lettersRead is how many letters of a word are looked at.
const lettersRead = 16

// letters turns a word into features by its letters: short windows of letters are
// matched with learned patterns, and each pattern's best match counts.
type letters struct {
	index map[byte]int
	// taps are what each letter adds to each pattern at each place of the window, a row
	// for each letter and place: the products are made once.
	taps [len(windows)]array
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
		l.taps[w] = tapsOf(embedding, weights[w], width)
	}
	return l
}

// tapsOf are the products of each letter with the patterns of one window, by place.
func tapsOf(embedding, weights array, width int) array {
	taps := array{embedding.rows * width, weights.rows, make([]float32, embedding.rows*width*weights.rows)}
	for c := range embedding.rows {
		letter := embedding.row(c)
		for place := range width {
			row := taps.row(c*width + place)
			for p := range row {
				pattern := weights.row(p)
				for i, x := range letter {
					row[p] += x * pattern[i*width+place]
				}
			}
		}
	}
	return taps
}

// of writes the features of a word into out.
func (l letters) of(s *scratch, word string, out []float32) {
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
		l.window(s, w, width, at[:n], out[:len(l.bias[w])])
		out = out[len(l.bias[w]):]
	}
}

// window finds the best match of each pattern over all places of the word; beyond its
// ends stand empty places.
func (l letters) window(s *scratch, w, width int, at []int, best []float32) {
	clear(best) // no match is worth less than nothing
	sum := s.take(len(best))
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
			for p, x := range l.taps[w].row(at[i]*width + place) {
				sum[p] += x
			}
		}
		for p, x := range sum {
			best[p] = max(best[p], x)
		}
	}
}
