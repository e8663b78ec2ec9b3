package understand

import (
	"slices"
	"strings"

	"deepward/bot/understand/learned"
)

// likelyIdle is the chance from which words are taken for talk that asks nothing, whatever is
// likelier, where no fish is talked of: idle talk that changes a log does more harm than a
// question that is asked again. Of 411 idle messages of the judging sets 10 pass for more, where
// 16 do at twice that chance and 25 without it; of 1,400 others 7 more are missed than at twice.
const likelyIdle = 0.1

// score asks the learned reader.
func (h *hearing) score(c learned.Context) {
	net := learned.Trained()
	words := make([]string, len(h.tokens))
	for i, t := range h.tokens {
		words[i] = t.text
	}
	h.scores = net.Read(h.lexicon(), words, c)
	best := 0
	for i, p := range h.scores.Act {
		if p > h.scores.Act[best] {
			best = i
		}
	}
	if i := slices.Index(net.Acts, string(ActOther)); h.scores.Act[i] >= likelyIdle && !c.Open && !c.Kept && Act(net.Acts[best]) != ActCommand && !h.isFishAtDepth() && !h.isLesson(net, best) && !h.tellsState() {
		best = i
	}
	h.act, h.sure = Act(net.Acts[best]), float64(h.scores.Act[best])
	h.want = h.wantOf(net)
	if h.act == ActReport && h.sure < surelyTold && !c.Kept && h.tellsNoDeed() && !h.letGo() {
		h.act, h.want = ActQuestion, WantRelease
	}
}

// tellsState is true where the state of a fish is surely told: "help, fish is floating".
func (h *hearing) tellsState() bool {
	const surely = 0.8
	return slices.ContainsFunc(h.spans(learned.States), func(s span) bool { return s.sure >= surely })
}

// isLesson is true for a question that surely asks about the trade itself.
func (h *hearing) isLesson(net *learned.Net, act int) bool {
	const surely = 0.9
	for i, p := range h.scores.Want {
		if p >= surely {
			return Act(net.Acts[act]) == ActQuestion && net.Wants[i] != string(WantRelease) && net.Wants[i] != "-"
		}
	}
	return false
}

// surelyTold is the chance below which a report that tells nothing that was done is none.
const surelyTold = 0.9

// tellsNoDeed is true for a fish at a depth of which nothing is told that was done with it, and
// no day: it waits for an answer.
func (h *hearing) tellsNoDeed() bool {
	if !h.isFishAtDepth() {
		return false
	}
	for _, layer := range []learned.Layer{learned.Deeds, learned.Ends} {
		if slices.ContainsFunc(h.scores.Tags[layer], isTag) {
			return false
		}
	}
	return !slices.ContainsFunc(h.scores.Tags[learned.Figures], func(t string) bool {
		return t == "B-weights_used_oz" || t == "B-tag" || t == "B-day" || t == "B-release_depth_m"
	})
}

// obey takes a message that begins with the command to log or to ask as what it says.
func (h *hearing) obey() {
	first := 0
	if mark(h.tokens, 0) == "/" {
		first = 1
	}
	verb, _, _, ok := readCommand(strings.TrimSpace(h.folded.text))
	switch {
	case ok && verb == "log" || word(h.tokens, first) == "log":
		h.act, h.want, h.sure = ActReport, "", 1
		h.nameAfter(first + 1)
	case ok && verb == "ask":
		h.act, h.want, h.sure = ActQuestion, WantRelease, 1
	case h.act == ActCommand && h.isYesOrNo():
		h.act, h.want = ActOther, ""
	case h.act == ActReport && h.appeals() && !slices.ContainsFunc(h.scores.Tags[learned.Deeds], isTag):
		h.act, h.want = ActQuestion, WantRelease
	case h.sure < hardlyAsked && h.act != ActReport && h.act != ActCorrection && h.letGo():
		h.act, h.want = ActReport, ""
	}
}

// appeals is true for words that ask for help with a fish of which nothing was done yet: "it is
// floating, what now".
func (h *hearing) appeals() bool {
	return h.anyPhrase(len(h.tokens), func(from, to int) bool {
		ends := to == len(h.tokens) || h.tokens[to].kind == tokenMark // "y ahora sí" asks nothing
		return ends && !lackings[word(h.tokens, from-1)] && requestWords().words["appeal"][h.phrase(from, to)]
	})
}

// anyPhrase is true where something is of a run of up to four words that begins among the first
// of the message.
func (h *hearing) anyPhrase(first int, is func(from, to int) bool) bool {
	const longest = 4
	for i := range min(first, len(h.tokens)) {
		for n := min(longest, len(h.tokens)-i); n > 0; n-- {
			if is(i, i+n) {
				return true
			}
		}
	}
	return false
}

// nameAfter takes up to three words that nobody knows, between the command to log and the first
// figure, for the name of the fish: "log plonker 30 m".
func (h *hearing) nameAfter(from int) {
	const most = 3
	figures := h.scores.Tags[learned.Figures]
	for w := word(h.tokens, from); w == "a" || ones[w] || whichPhrases()[w].Size != ""; w = word(h.tokens, from) {
		from++
	}
	to := from
	for to < min(len(h.tokens), len(figures)) && h.tokens[to].kind == tokenWord && h.untagged(to, to+1) && !listed().known[h.tokens[to].text] {
		to++
	}
	if to == from || to-from > most || to == len(h.tokens) || h.tokens[to].kind != tokenNumber {
		return
	}
	h.tag(from, to, "name")
	for _, q := range h.everyQuantity() {
		if q.from == to && q.dim == depth && !slices.Contains(figures, "B-depth_m") {
			h.tag(to, q.to, "depth_m")
		}
	}
}

// tag takes words for a figure of the first fish.
func (h *hearing) tag(from, to int, what string) {
	figures := h.scores.Tags[learned.Figures]
	for i := from; i < min(to, len(figures)); i++ {
		figures[i] = "I-" + what
	}
	figures[from] = "B-" + what
	h.own(from, to, "0")
}

// hardlyAsked is the chance below which words that begin with "let go" and name a fish are no
// question.
const hardlyAsked = 0.65

// isFishAtDepth is true for a message with a name of a fish and a depth: as a rule a question,
// with talk beside it.
func (h *hearing) isFishAtDepth() bool {
	figures := h.scores.Tags[learned.Figures]
	return slices.Contains(figures, "B-name") && slices.Contains(figures, "B-depth_m")
}

// isYesOrNo is true for words that only agree or do not: they want nothing by themselves.
func (h *hearing) isYesOrNo() bool {
	return len(h.tokens) > 0 && !slices.ContainsFunc(h.tokens, func(t token) bool { return t.kind == tokenWord && !yesOrNo[t.text] || t.kind == tokenNumber })
}

var yesOrNo = wordSet("yes yeah yep y ok okay sure please no nope nah si claro vale dale sim pode nao oui ouais non daccord s il vous plait por favor")

// saysSelf is true for words that speak of the person or of all that is kept: without them
// "delete it" means a report, not the person's data. All 108 messages of the labelled texts
// that ask for that in words have one.
func (h *hearing) saysSelf() bool {
	return slices.ContainsFunc(h.tokens, func(t token) bool {
		return selves[t.text] || len(t.text) > len("borre") && strings.HasSuffix(t.text, "me")
	})
}

// callsFish is true for words that point at a fish by its name: "delete this grouper".
func (h *hearing) callsFish() bool {
	return slices.ContainsFunc(h.namesAt(), func(at int) bool { return these[word(h.tokens, at-1)] })
}

var these = wordSet("this that the last este esta ese esa aquel aquella el la ultimo ultima esse essa o a ce cet cette le dernier derniere")

var selves = wordSet("me my mine myself i im ive mi mis mio mia yo conmigo meu meus minha minhas mim eu moi mon ma mes je j m all everything every " +
	"todo toda todos todas tudo tout toute toutes data datos dados donnees account cuenta conta compte name nombre nome nom info " +
	"history historial historico historique profile perfil profil wipe gdpr rgpd lgpd")

// letGo is true for a message that begins by telling that a fish that it names was let go, and
// asks nothing: "just let go a red emperor".
func (h *hearing) letGo() bool {
	if strings.Contains(h.text, "?") || !slices.Contains(h.scores.Tags[learned.Figures], "B-name") {
		return false
	}
	const lead = 2
	l := h.lexicon()
	return h.anyPhrase(lead, func(from, to int) bool {
		return slices.ContainsFunc(l.Phrases[h.phrase(from, to)], func(c int) bool { return l.Concepts[c] == "released" })
	})
}

// surelyUndo is the chance from which words are taken to want something taken back: what is
// meant so is hardly ever below it, and what is not loses a report.
const surelyUndo = 0.7

// wantOf is the likeliest request of that act.
func (h *hearing) wantOf(net *learned.Net) Want {
	if h.act != ActQuestion && h.act != ActCommand {
		return ""
	}
	best, chance := Want(""), float32(-1)
	for i, p := range h.scores.Want {
		w := Want(net.Wants[i])
		if asked, _ := RequestOf(w); asked.Act == h.act && p > chance && (w != WantUndo || p >= surelyUndo || h.again().PutBack) {
			best, chance = w, p
		}
	}
	if best == WantSeason && slices.ContainsFunc(h.tokens, func(t token) bool { return closedSeason[t.text] }) {
		return WantRules
	}
	return best
}

// closedSeason are words for a closed season: what the law says, not what the club's season showed.
var closedSeason = wordSet("defeso veda closed fermee fermeture vedado")
