package understand

// numberWords are the words that make numbers, in the languages spoken here.
// The value of a tens word adds to the units word after it.
var numberWords = map[string]float64{
	"zero": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
	"ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16,
	"seventeen": 17, "eighteen": 18, "nineteen": 19, "twenty": 20, "thirty": 30, "forty": 40, "fourty": 40,
	"fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80, "ninety": 90,
	"uno": 1, "dos": 2, "tres": 3, "cuatro": 4, "cinco": 5, "seis": 6, "siete": 7, "ocho": 8, "nueve": 9, "diez": 10,
	"veinte": 20, "treinta": 30, "cuarenta": 40, "cincuenta": 50, "sesenta": 60, "setenta": 70, "ochenta": 80, "noventa": 90, "cien": 100,
	"um": 1, "dois": 2, "duas": 2, "quatro": 4, "sete": 7, "oito": 8, "nove": 9, "dez": 10,
	"vinte": 20, "trinta": 30, "quarenta": 40, "cinquenta": 50, "sessenta": 60, "oitenta": 80, "cem": 100,
	"deux": 2, "trois": 3, "quatre": 4, "cinq": 5, "sept": 7, "huit": 8, "neuf": 9, "dix": 10,
	"vingt": 20, "trente": 30, "quarante": 40, "cinquante": 50, "soixante": 60, "cent": 100,
	"couple": 2, "pair": 2, "dozen": 12,
}

// number is a number read from tokens: its value and the token after it.
type number struct {
	value float64
	// raw is the text of a number in digits, "" for words.
	raw  string
	next int
}

// readNumberAt reads a number that begins at token i, in digits or in words.
func readNumberAt(tokens []token, i int) (number, bool) {
	if i >= len(tokens) || tokens[i].used {
		return number{}, false
	}
	if tokens[i].kind == tokenNumber {
		return withFraction(tokens, number{tokens[i].value, tokens[i].text, i + 1}), true
	}
	if tokens[i].kind == tokenWord {
		return readWords(tokens, i)
	}
	return number{}, false
}

// withFraction adds a fraction that follows a whole number: "2 1/2", "2 and a half".
func withFraction(tokens []token, n number) number {
	i := n.next
	if i < len(tokens) && tokens[i].kind == tokenNumber && tokens[i].value < 1 && tokens[i].value > 0 && isSpelledFraction(tokens[i].text) {
		return number{n.value + tokens[i].value, n.raw, i + 1}
	}
	return withHalf(tokens, n)
}

func isSpelledFraction(text string) bool { return len(text) == 3 && text[1] == '/' }

// withHalf adds "and a half", "y medio", "e meio", "et demi".
func withHalf(tokens []token, n number) number {
	i := n.next
	if word(tokens, i) == "and" && word(tokens, i+1) == "a" && (word(tokens, i+2) == "half" || word(tokens, i+2) == "quarter") {
		share := 0.5
		if word(tokens, i+2) == "quarter" {
			share = 0.25
		}
		return number{n.value + share, n.raw, i + 3}
	}
	if w := word(tokens, i) + " " + word(tokens, i+1); w == "y medio" || w == "y media" || w == "e meio" || w == "e meia" || w == "et demi" || w == "et demie" || w == "and half" {
		return number{n.value + 0.5, n.raw, i + 2}
	}
	return n
}

// readWords reads "one hundred and twenty", "two and a half", "half a", "a couple of".
func readWords(tokens []token, i int) (number, bool) {
	if half, ok := readHalf(tokens, i); ok {
		return half, true
	}
	start := i
	if word(tokens, i) == "a" && (word(tokens, i+1) == "hundred" || word(tokens, i+1) == "couple" || word(tokens, i+1) == "dozen") {
		i++
	}
	total, part, any := 0.0, 0.0, false
	for ; i < len(tokens); i++ {
		w := word(tokens, i)
		switch value, known := numberWords[w]; {
		case known && !(any && part > 0 && (part < 20 || value >= 10 || value == 0) && part != 100):
			part += value
			any = true
		case w == "hundred":
			part = max(part, 1) * 100
			any = true
		case w == "and" && any && part >= 100 && isNumberWord(word(tokens, i+1)):
		case tokens[i].kind == tokenMark && tokens[i].text == "-" && any && isNumberWord(word(tokens, i+1)) && part >= 20 && numberWords[word(tokens, i+1)] < 10:
		case w == "of" && any && i > start && (word(tokens, i-1) == "couple" || word(tokens, i-1) == "pair"):
		default:
			if !any {
				return number{}, false
			}
			return withPoint(tokens, withHalf(tokens, number{total + part, "", i})), true
		}
	}
	if !any {
		return number{}, false
	}
	return number{total + part, "", i}, true
}

// withPoint adds "point five".
func withPoint(tokens []token, n number) number {
	if word(tokens, n.next) != "point" {
		return n
	}
	digit, ok := numberWords[word(tokens, n.next+1)]
	if !ok || digit > 9 {
		return n
	}
	return number{n.value + digit/10, "", n.next + 2}
}

func readHalf(tokens []token, i int) (number, bool) {
	switch w := word(tokens, i); {
	case (w == "half" || w == "quarter") && (word(tokens, i+1) == "a" || word(tokens, i+1) == "an"):
		return number{halfOrQuarter(w), "", i + 2}, true
	case w == "half" || w == "medio" || w == "media" || w == "meio" || w == "meia" || w == "demi":
		return number{0.5, "", i + 1}, true
	default:
		return number{}, false
	}
}

func halfOrQuarter(w string) float64 {
	if w == "quarter" {
		return 0.25
	}
	return 0.5
}

func isNumberWord(w string) bool { _, ok := numberWords[w]; return ok }

// word is the word at a token, "" if it is no word or out of reach.
func word(tokens []token, i int) string {
	if i < 0 || i >= len(tokens) || tokens[i].kind != tokenWord {
		return ""
	}
	return tokens[i].text
}

// mark is the mark at a token, "" if it is none.
func mark(tokens []token, i int) string {
	if i < 0 || i >= len(tokens) || tokens[i].kind != tokenMark {
		return ""
	}
	return tokens[i].text
}
