package understand

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// tokenKind is what a token is made of.
type tokenKind uint8

const (
	tokenWord tokenKind = iota
	tokenNumber
	tokenMark // any other single character; a line break is "\n"
)

// token is one piece of folded text.
type token struct {
	kind  tokenKind
	text  string
	value float64 // of a number
	// from and to are its place in the folded text, in bytes.
	from, to int
	// used is true once the token has been given a meaning.
	used bool
}

// touches reports whether nothing stands between two tokens.
func (t token) touches(next token) bool { return t.to == next.from }

// longestMessage is how much of a message is read, in bytes; a chat message has
// at most 4096 characters.
const longestMessage = 4096 * 4

// scan cuts folded text into tokens.
func scan(text string) []token {
	if len(text) > longestMessage {
		text = text[:longestMessage]
	}
	tokens := make([]token, 0, len(text)/4+4)
	for i := 0; i < len(text); {
		c := text[i]
		var t token
		switch {
		case c == ' ' || c == '\t' || c == '\r':
			i++
			continue
		case isDigit(c) || c == '.' && i+1 < len(text) && isDigit(text[i+1]) && !afterWord(tokens, i):
			t = scanNumber(text, i)
		case isLetter(text[i:]):
			t = scanWord(text, i)
		default:
			_, n := utf8.DecodeRuneInString(text[i:])
			t = token{kind: tokenMark, text: text[i : i+n], from: i, to: i + n}
		}
		tokens = append(tokens, t)
		i = t.to
	}
	return tokens
}

// afterWord is true when a word ends where we are: the point is a full stop.
func afterWord(tokens []token, at int) bool {
	n := len(tokens)
	return n > 0 && tokens[n-1].kind == tokenWord && tokens[n-1].to == at
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func isLetter(s string) bool {
	if s[0] < utf8.RuneSelf {
		return s[0] >= 'a' && s[0] <= 'z' || s[0] >= 'A' && s[0] <= 'Z'
	}
	r, _ := utf8.DecodeRuneInString(s)
	return unicode.IsLetter(r)
}

// scanWord reads letters, and an apostrophe or hyphen that joins letters.
func scanWord(text string, from int) token {
	i := from
	for i < len(text) {
		if isLetter(text[i:]) {
			_, n := utf8.DecodeRuneInString(text[i:])
			i += n
			continue
		}
		if text[i] == '\'' && i+1 < len(text) && isLetter(text[i+1:]) {
			if elided[text[from:i]] {
				return token{kind: tokenWord, text: text[from:i], from: from, to: i + 1}
			}
			i++
			continue
		}
		break
	}
	return token{kind: tokenWord, text: strings.ReplaceAll(text[from:i], "'", ""), from: from, to: i}
}

// elided are the words that French writes against the next one: "l'ombrine" is two words.
var elided = wordSet("l d j c n s m t qu jusqu lorsqu puisqu")

// scanNumber reads digits with one decimal point or comma, or with thousands
// separated; a fraction such as 1/2 is one number.
func scanNumber(text string, from int) token {
	i := from
	for i < len(text) && (isDigit(text[i]) || isInnerSeparator(text, i)) {
		i++
	}
	if apart := apostropheComma(text, i); apart > 0 { // "2'5kg"
		return token{kind: tokenNumber, text: text[from:i] + "." + text[i+1:apart], value: parse(text[from:i] + "." + text[i+1:apart]), from: from, to: apart}
	}
	raw := text[from:i]
	if i < len(text) && text[i] == '/' && isFraction(raw, text[i+1:]) {
		return token{kind: tokenNumber, text: text[from : i+2], value: float64(raw[0]-'0') / float64(text[i+1]-'0'), from: from, to: i + 2}
	}
	return token{kind: tokenNumber, text: raw, value: readNumber(raw), from: from, to: i}
}

// apostropheComma is the end of the decimals where an apostrophe stands for the comma, as
// handwriting has it, before a metric unit; 0 where it does not.
func apostropheComma(text string, i int) int {
	if i+1 >= len(text) || text[i] != '\'' || !isDigit(text[i+1]) {
		return 0
	}
	end := i + 1
	for end < len(text) && isDigit(text[end]) {
		end++
	}
	unit := strings.TrimLeft(text[end:], " ")
	if strings.HasPrefix(unit, "kg") || strings.HasPrefix(unit, "kilo") || strings.HasPrefix(unit, "quilo") {
		return end
	}
	return 0
}

// isInnerSeparator is true for a point or comma between digits.
func isInnerSeparator(text string, i int) bool {
	return (text[i] == '.' || text[i] == ',') && i+1 < len(text) && isDigit(text[i+1])
}

// isFraction is true for one digit over 2, 3, 4 or 8 that makes less than one.
func isFraction(top, rest string) bool {
	if len(top) != 1 || len(rest) == 0 || !strings.ContainsRune("2348", rune(rest[0])) || top[0] >= rest[0] || top[0] == '0' {
		return false
	}
	return len(rest) == 1 || !isDigit(rest[1])
}

// readNumber reads a number whose separators may be points or commas: a single
// one followed by other than three digits is the decimal; with three digits a
// comma may be either and is settled by the unit (see thousands).
func readNumber(raw string) float64 {
	last := strings.LastIndexAny(raw, ".,")
	if last < 0 {
		return parse(raw)
	}
	whole := strings.NewReplacer(".", "", ",", "").Replace(raw[:last])
	several := strings.Count(raw, ".")+strings.Count(raw, ",") > 1
	if several && len(raw)-last == 4 && strings.Count(raw, raw[last:last+1]) > 1 {
		return parse(whole + raw[last+1:])
	}
	return parse(whole + "." + raw[last+1:])
}

func parse(s string) float64 {
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return 0
	}
	return x
}

// thousands is the other reading of "1,200": as 1200. ok is false when the
// number has no such reading.
func thousands(raw string) (x float64, ok bool) {
	i := strings.IndexByte(raw, ',')
	if i < 1 || len(raw)-i != 4 || strings.Contains(raw, ".") || raw[0] == '0' {
		return 0, false
	}
	return parse(raw[:i] + raw[i+1:]), true
}
