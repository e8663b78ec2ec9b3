package understand

import "slices"

// mostThanks is how many words a message has at most that does little but thank.
const mostThanks = 6

// thanks are words that thank, in the languages spoken here.
var thanks = wordSet("thanks thank thx ty cheers ta gracias obrigado obrigada obg valeu brigado merci")

// IsThanks is true for a message that does little but thank.
func (r Reading) IsThanks() bool {
	words := wordsOf(r.Text)
	return r.Act == ActOther && len(words) <= mostThanks && slices.ContainsFunc(words, func(w string) bool { return thanks[w] })
}
