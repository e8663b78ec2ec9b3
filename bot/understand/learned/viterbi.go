package learned

import "strings"

// follows tells for each tag which may stand before it: an inside needs its beginning.
func follows(tags []string) [][]bool {
	table := make([][]bool, len(tags))
	for b, tag := range tags {
		table[b] = make([]bool, len(tags)+1)
		for a, before := range tags {
			table[b][a] = !strings.HasPrefix(tag, "I-") || len(before) > 2 && before[2:] == tag[2:]
		}
		table[b][len(tags)] = !strings.HasPrefix(tag, "I-") // the first word
	}
	return table
}

// tag finds the likeliest tags of a layer that may follow one another.
func (n *Net) tag(s *scratch, layer Layer, states []float32, words int) (tags []string, chances, scores []float32) {
	names := n.Tags[layer]
	scores = n.tags[layer].all(s, states, words)
	for i := range words {
		softmax(scores[i*len(names) : (i+1)*len(names)])
	}
	best := path(scores, words, n.allowed[layer])
	tags, chances = make([]string, words), make([]float32, words)
	for i, t := range best {
		tags[i], chances[i] = names[t], scores[i*len(names)+t]
	}
	return tags, chances, scores
}

// Rival is another figure that a word may begin, and the chance of it.
type Rival struct {
	Label  string
	Chance float32
}

// rivals are the likeliest other figures that each word may begin beside its tag.
func (n *Net) rivals(tags []string, scores []float32) []Rival {
	list, names := make([]Rival, len(tags)), n.Tags[Figures]
	for i, tag := range tags {
		for t, chance := range scores[i*len(names) : (i+1)*len(names)] {
			label, begins := strings.CutPrefix(names[t], "B-")
			if begins && chance > list[i].Chance && !strings.HasSuffix(tag, "-"+label) {
				list[i] = Rival{label, chance}
			}
		}
	}
	return list
}

// path is the way through the words with the greatest product of chances.
func path(chances []float32, words int, allowed [][]bool) []int {
	tags := len(allowed)
	const never = -1
	value := make([]float64, tags)
	for t := range tags {
		value[t] = never
		if allowed[t][tags] {
			value[t] = float64(chances[t])
		}
	}
	from, next := make([]uint8, words*tags), make([]float64, tags)
	for i := 1; i < words; i++ {
		for t := range tags {
			next[t], from[i*tags+t] = bestBefore(value, allowed[t], float64(chances[i*tags+t]))
		}
		value, next = scaled(next), value
	}
	return back(value, from)
}

// bestBefore is the best way to one tag.
func bestBefore(value []float64, allowed []bool, chance float64) (best float64, from uint8) {
	best = -1
	for a, v := range value {
		if allowed[a] && v >= 0 && v*chance > best {
			best, from = v*chance, uint8(a) // a layer has a few dozen tags
		}
	}
	return best, from
}

// scaled keeps the products from vanishing in long texts.
func scaled(value []float64) []float64 {
	top := 0.0
	for _, v := range value {
		top = max(top, v)
	}
	for i := range value {
		if top > 0 && value[i] > 0 {
			value[i] /= top
		}
	}
	return value
}

func back(value []float64, from []uint8) []int {
	tags, best := len(value), 0
	for t, v := range value {
		if v > value[best] {
			best = t
		}
	}
	path := make([]int, len(from)/tags)
	for i := len(path) - 1; i >= 0; i-- {
		path[i] = best
		best = int(from[i*tags+best]) // of the first word none came before: 0
	}
	return path
}
