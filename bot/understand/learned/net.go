package learned

import (
	"fmt"
	"strings"
)

// Net is the trained network with its vocabulary. It never changes, so one serves every
// chat at the same time.
type Net struct {
	Acts, Wants []string
	Tags        [][]string

	words    map[string]int
	concepts map[string]int
	word     halves // of nine thousand words a message has ten
	letters  letters
	mark     array
	hint     linear
	context  linear
	in       linear
	forward  [2]lstm
	backward [2]lstm
	tags     [Layers]linear
	attend   linear
	act      linear
	want     linear
	follow   linear
	further  linear
	allowed  [Layers][][]bool
}

// Load makes a network of a file of weights. The error says that file and program do
// not belong together.
func Load(file []byte) (*Net, error) {
	h, arrays, err := readWeights(file)
	if err != nil {
		return nil, err
	}
	if len(h.Tags) != int(Layers) || h.Context != contextSize {
		return nil, errWeights
	}
	b := builder{arrays: arrays}
	n := &Net{Acts: h.Acts, Wants: h.Wants, Tags: h.Tags, words: places(h.Words, 2), concepts: places(h.Concepts, 0)}
	n.word, n.mark = b.halves("word.weight"), b.array("mark.weight")
	n.hint, n.context, n.in = b.linear("hint"), b.linear("ctx"), b.linear("inp")
	n.attend, n.act, n.want, n.follow = b.linear("att"), b.linear("act"), b.linear("want"), b.linear("follow")
	n.further = b.linear("further")
	for i := range n.forward {
		n.forward[i] = b.lstm(fmt.Sprintf("l%d", i), i == 0, false)
		n.backward[i] = b.lstm(fmt.Sprintf("l%d_reverse", i), i == 0, true)
	}
	for i := range n.tags {
		n.tags[i] = b.linear(fmt.Sprintf("tag.%d", i))
		n.allowed[i] = follows(h.Tags[i])
	}
	var weights, biases [len(windows)]array
	for i := range windows {
		weights[i], biases[i] = b.array(fmt.Sprintf("conv.%d.weight", i)), b.array(fmt.Sprintf("conv.%d.bias", i))
	}
	if b.missing != "" {
		return nil, fmt.Errorf("%w: no %s", errWeights, b.missing)
	}
	n.letters = newLetters(h.Chars, b.array("char.weight"), weights, biases)
	return n, nil
}

func places(list []string, first int) map[string]int {
	at := make(map[string]int, len(list))
	for i, s := range list {
		at[s] = i + first
	}
	return at
}

// builder takes the arrays by their names and remembers what is missing.
type builder struct {
	arrays  map[string]halves
	missing string
}

func (b *builder) halves(name string) halves {
	a, ok := b.arrays[name]
	if !ok {
		b.missing = name
	}
	return a
}

func (b *builder) array(name string) array { return b.halves(name).array() }

func (b *builder) linear(name string) linear {
	return linear{b.array(name + ".weight"), b.array(name + ".bias")}
}

// lstm is a direction of a layer. Of what the first one takes in, the features of words,
// nine in ten are nothing.
func (b *builder) lstm(name string, first, backward bool) lstm {
	bias, second := b.array("rnn.bias_ih_"+name), b.array("rnn.bias_hh_"+name)
	sum := array{rows: 1, cols: bias.cols, data: make([]float32, len(bias.data))}
	for i := range min(len(bias.data), len(second.data)) {
		sum.data[i] = bias.data[i] + second.data[i]
	}
	l := lstm{recurrent: b.array("rnn.weight_hh_" + name), backward: backward}
	if in := b.halves("rnn.weight_ih_" + name); first {
		l.in = byColumns{in.transposed(), sum}
	} else {
		l.in = linear{in.array(), sum}
	}
	return l
}

// Scores are what the network says of one message.
type Scores struct {
	// Act and Want are chances by the places of Net.Acts and Net.Wants; Follow is the
	// chance that the message cannot stand alone.
	Act, Want []float32
	Follow    float32
	// Further is the chance that a report is of one more fish, where the one that is talked
	// of has its report.
	Further float32
	// Tags are the likeliest tags of each layer, one a word.
	Tags [Layers][]string
	// Chances are those of the tags, one a word.
	Chances [Layers][]float32
	// Rivals are the likeliest figures that the words may begin beside those of Tags, one a
	// word.
	Rivals []Rival
}

// longestText is how many words of a message are read; the rest has no tags.
const longestText = 160

// Read scores the words of one message, cut by the scanner that cut the texts it was
// trained on.
func (n *Net) Read(l *Lexicon, words []string, c Context) Scores {
	if len(words) > longestText {
		words = words[:longestText]
	}
	if len(words) == 0 {
		return n.nothing()
	}
	room := scratches.Get().(*scratch)
	defer room.free()
	open := n.context.one(c.Vector())
	relu(open)
	states := n.recur(room, n.inputs(room, l, words, open), len(words))
	pooled := n.pool(room, states, len(words), open)
	s := Scores{Act: n.act.one(pooled), Want: n.want.one(pooled)}
	softmax(s.Act)
	softmax(s.Want)
	follow := n.follow.one(pooled)
	softmax(follow)
	s.Follow = follow[1]
	further := n.further.one(pooled)
	softmax(further)
	s.Further = further[1]
	for i := range n.tags {
		var scores []float32
		s.Tags[i], s.Chances[i], scores = n.tag(room, Layer(i), states, len(words))
		if Layer(i) == Figures {
			s.Rivals = n.rivals(s.Tags[i], scores)
		}
	}
	return s
}

// nothing is what is said of a message without words.
func (n *Net) nothing() Scores {
	s := Scores{Act: make([]float32, len(n.Acts)), Want: make([]float32, len(n.Wants))}
	s.Act[len(s.Act)-1], s.Want[0] = 1, 1
	return s
}

// inputs are the features of each word.
func (n *Net) inputs(s *scratch, l *Lexicon, words []string, open []float32) []float32 {
	marks, hints := l.Hints(words)
	width := n.in.weight.cols
	x := s.take(len(words) * width)
	for i, w := range words {
		row := x[i*width : (i+1)*width]
		n.word.into(row[:n.word.cols], n.wordOf(w))
		row = row[n.word.cols:]
		n.letters.of(s, w, row[:len(row)-n.mark.cols-n.hint.weight.rows-len(open)])
		row = row[len(row)-n.mark.cols-n.hint.weight.rows-len(open):]
		row = row[copy(row, n.mark.row(int(marks[i]))):]
		n.hints(l, hints[i], row[:n.hint.weight.rows])
		copy(row[n.hint.weight.rows:], open)
	}
	y := n.in.all(s, x, len(words))
	relu(y)
	return y
}

// hintsRead is how many hints of one word are taken in.
const hintsRead = 8

func (n *Net) hints(l *Lexicon, hints []int, out []float32) {
	copy(out, n.hint.bias.data)
	for _, h := range hints[:min(hintsRead, len(hints))] {
		c, ok := n.concepts[l.Concepts[h]]
		if !ok {
			continue
		}
		for i := range out {
			out[i] += n.hint.weight.data[i*n.hint.weight.cols+c]
		}
	}
	relu(out)
}

// unknownWord stands for words that were seen once at most.
const unknownWord = 1

// wordOf is the place of a word; of figures only the length counts.
func (n *Net) wordOf(w string) int {
	if w[0] >= '0' && w[0] <= '9' {
		w = strings.Repeat("0", min(len(w), 4))
	}
	if i, ok := n.words[w]; ok {
		return i
	}
	return unknownWord
}

// recur reads the words in both directions, twice over.
func (n *Net) recur(s *scratch, x []float32, words int) []float32 {
	for i := range n.forward {
		size := n.forward[i].recurrent.cols
		out := s.take(words * 2 * size)
		n.forward[i].run(s, x, words, out, 0, 2*size)
		n.backward[i].run(s, x, words, out, size, 2*size)
		x = out
	}
	return x
}

// pool sums a message up: the words weighed by how much they tell, and the strongest of
// each feature, and what is open beside them.
func (n *Net) pool(s *scratch, states []float32, words int, open []float32) []float32 {
	width := len(states) / words
	weights := n.attend.all(s, states, words)
	softmax(weights)
	out := s.take(2*width + len(open))
	copy(out[2*width:], open)
	mean, top := out[:width], out[width:2*width]
	copy(top, states)
	for i := range words {
		for k, v := range states[i*width : (i+1)*width] {
			mean[k] += weights[i] * v
			top[k] = max(top[k], v)
		}
	}
	return out
}

// Knows reports whether a word stood in the texts that were learned from, more than once.
func (n *Net) Knows(w string) bool { return n.wordOf(w) != unknownWord }
