package understand

import (
	_ "embed"
)

// isTackle is true for the weight of a line or a lure: "80 lb line", "4 oz jig".
func isTackle(tokens []token, q quantity) bool {
	return (q.dim == weight || q.dim == ounces) && tackleWords[word(tokens, q.to)]
}

// tackleWords are what stands behind a weight that is none of a fish.
var tackleWords = map[string]bool{
	"line": true, "braid": true, "leader": true, "mono": true, "fluoro": true, "trace": true, "test": true, "jig": true, "jigs": true, "lure": true, "drag": true,
	"trenza": true, "trenzado": true, "sedal": true, "jigg": true, "linha": true, "multifilamento": true, "tresse": true, "nylon": true, "leurre": true,
}

// leadWords are what a release weight is called before its figure: "plomo de 1 kg".
var leadWords = map[string]bool{
	"lead": true, "sinker": true, "plomo": true, "plomos": true, "lastre": true, "chumbo": true, "chumbos": true, "chumbada": true,
	"lastro": true, "lest": true, "lests": true, "plomb": true, "plombs": true,
}

// lackings stand before a word for a weight that somebody has not: "mero 40 m 3 kg sin pesas".
var (
	lackings    = wordSet("no without sin sem sans zero")
	weightNouns = wordSet("weights sinkers lead leads pesas pesos plomos plomo lastre lastres chumbos chumbo chumbadas chumbada plombs plomb lest lests poids")
)

// saysNoWeights is true for a question about a fish that says in passing that there are no
// weights.
func (h *hearing) saysNoWeights() bool {
	if h.act != ActQuestion || h.want != WantRelease && h.want != WantNoWeight || len(h.groups) == 0 {
		return false
	}
	for i := range h.tokens {
		if lackings[h.tokens[i].text] && weightNouns[word(h.tokens, i+1)] {
			return true
		}
	}
	return false
}

// saysLead is true where the message names a release weight by a word that says nothing else:
// "pesa" is one with an article before it only, else it says how heavy a fish is.
func (h *hearing) saysLead() bool {
	for i, t := range h.tokens {
		switch {
		case leadWords[t.text] || weightNouns[t.text] && !fishWeights[t.text] || otherLeads[t.text]:
			return true
		case isWeightWord(t.text) && word(h.tokens, i+1) == "de" && i+2 < len(h.tokens) && h.tokens[i+2].kind == tokenNumber:
			return true // "peso de 32"
		case t.text == "pesa" && (definite[word(h.tokens, i-1)] || ones[word(h.tokens, i-1)] || withs[word(h.tokens, i-1)]):
			return true
		}
	}
	return false
}

var (
	fishWeights = wordSet("pesos poids")
	otherLeads  = wordSet("leads sinkers fierro fierros poita gueuse gueuses plombee plombees chumbadinha pedra piedra caillou rock brick ladrillo tijolo")
)
