package importer

import (
	"errors"
	"regexp"
	"strconv"
	"strings"

	"deepward/advisor"
)

// decimalStyle is what a comma in a figure of this file is.
type decimalStyle int

// The styles. Unknown asks at the one figure in which it matters, "1,234".
const (
	commaUnknown decimalStyle = iota
	commaDecimal
	commaThousands
)

var (
	provesDecimal   = regexp.MustCompile(`^-?\d*,(\d{1,2}|\d{4,})$|^-?0,\d+$|^-?\d{1,3}(\.\d{3})+,\d+$`)
	provesThousands = regexp.MustCompile(`^-?\d{1,3}(,\d{3})+\.\d+$|^-?\d{1,3}(,\d{3}){2,}$`)
	provesPoint     = regexp.MustCompile(`^-?\d*\.(\d{1,2}|\d{4,})$`)
	unclear         = regexp.MustCompile(`^-?[1-9]\d{0,2},\d{3}$`)
	thousandsPoint  = regexp.MustCompile(`^-?[1-9]\d{0,2}(\.\d{3})+$`)
	figureForm      = regexp.MustCompile(`^[-+]?(\d[\d.,]*|[.,]\d+)`)
)

// styleOf looks for a figure that proves what a comma is.
func styleOf(cells func(yield func(string) bool)) decimalStyle {
	point := false
	for text := range cells {
		if decimals, ok := plainFigure(text); ok { // most are: nothing but a point can be in it
			point = point || decimals > 0 && decimals != 3
			continue
		}
		text = figureForm.FindString(text)
		switch {
		case provesDecimal.MatchString(text):
			return commaDecimal
		case provesThousands.MatchString(text):
			return commaThousands
		}
		point = point || provesPoint.MatchString(text)
	}
	if point {
		return commaThousands
	}
	return commaUnknown
}

// plainFigure is true for nothing but digits, with a point among or before them perhaps and a
// minus in front, and tells how many stand behind the point.
func plainFigure(text string) (decimals int, ok bool) {
	text = strings.TrimPrefix(text, "-")
	point := -1
	for i := range len(text) {
		switch c := text[i]; {
		case c >= '0' && c <= '9':
		case c == '.' && point < 0:
			point = i
		default:
			return 0, false
		}
	}
	if point < 0 {
		return 0, text != ""
	}
	decimals = len(text) - 1 - point
	return decimals, decimals > 0
}

var (
	errNoFigure  = errors.New("is no figure")
	errTwoWays   = errors.New("can be read as thousands or as decimals")
	errNoUnit    = errors.New("has no unit, and neither has its heading")
	errWrongUnit = errors.New("has a unit that does not fit")
	errBound     = errors.New("is only a bound, not a figure")
)

// figure reads one figure from the beginning of text and returns the rest.
func (d decimalStyle) figure(text string) (x float64, rest string, err error) {
	raw := strings.TrimRight(figureForm.FindString(text), ",.")
	if raw == "" {
		return 0, text, errNoFigure
	}
	rest = text[len(raw):]
	plain := raw
	switch {
	case !strings.Contains(raw, ","):
		if d == commaDecimal && thousandsPoint.MatchString(raw) {
			return 0, rest, errTwoWays
		}
	case d == commaUnknown && unclear.MatchString(raw):
		return 0, rest, errTwoWays
	case d == commaThousands:
		plain = strings.ReplaceAll(raw, ",", "")
	default:
		plain = strings.Replace(strings.ReplaceAll(raw, ".", ""), ",", ".", 1)
	}
	if x, err = strconv.ParseFloat(plain, 64); err != nil {
		return 0, rest, errNoFigure
	}
	return x, strings.TrimSpace(rest), nil
}

// measure is a figure with its unit: a value, or a range of which high is the end
// that counts.
type measure struct {
	low, high float64
	ranged    bool
	kind      advisor.LengthType
	several   []float64 // what was joined by "+"
}

// measures reads a cell of a quantity: "120", "120 ft", "100-120ft", "2 lb 4 oz",
// `17"`, "34 cm FL", "20+40 oz". fallback is the unit of the heading, nil for none.
func (d decimalStyle) measure(cell string, q quantity, fallback *unit) (m measure, err error) {
	text := strings.TrimSpace(strings.TrimLeft(fold(cell), "~≈"))
	for _, about := range []string{"about ", "approx. ", "approx ", "ca. ", "ca ", "c. ", "est. ", "est "} {
		text = strings.TrimPrefix(text, about)
	}
	if strings.ContainsAny(text, "<>") {
		return m, errBound
	}
	parts := splitRange(text)
	if len(parts) == 1 && strings.Contains(text, "+") {
		parts = strings.Split(text, "+")
	}
	amounts := make([]amount, len(parts))
	for i, part := range parts {
		if amounts[i], err = d.amount(part, q); err != nil {
			return m, err
		}
	}
	values, err := settle(amounts, fallback)
	if err != nil {
		return m, err
	}
	m.kind = amounts[len(amounts)-1].kind
	switch {
	case strings.Contains(text, "+") && len(values) > 1:
		m.several = values
		for _, v := range values {
			m.high += v
		}
		m.low = m.high
	case len(values) == 2:
		m.low, m.high, m.ranged = min(values[0], values[1]), max(values[0], values[1]), values[0] != values[1]
	default:
		m.low, m.high = values[0], values[0]
	}
	return m, nil
}

var rangeForm = regexp.MustCompile(`^([^-]*\d[^-]*?)\s*(?:-|–|—|\bto\b|\ba\b|\bà\b|\.\.)\s*(\d.*)$`)

func splitRange(text string) []string {
	if m := rangeForm.FindStringSubmatch(text); m != nil {
		return m[1:]
	}
	return []string{text}
}

// amount is a figure whose unit may be missing still.
type amount struct {
	value float64
	unit  *unit // nil: value has none yet; else value is in the base unit
	kind  advisor.LengthType
}

// amount reads "2 lb 4 oz" as one amount: figures with units add up.
func (d decimalStyle) amount(text string, q quantity) (a amount, err error) {
	first := true
	for text = strings.TrimSpace(text); text != ""; first = false {
		x, rest, err := d.figure(text)
		if err != nil {
			return a, err
		}
		if x, rest, err = d.fraction(x, rest); err != nil {
			return a, err
		}
		word, after := firstWord(rest)
		u, isUnit := known().units[q][word]
		switch {
		case isUnit && (first || a.unit != nil):
			a.value, a.unit, text = a.value+u.base(x), &u, after
		case first:
			a.value, text = x, rest
		default:
			return a, errNoFigure
		}
		if a.kind, text, err = trailing(text); err != nil {
			return a, err
		}
	}
	if first {
		return a, errNoFigure
	}
	return a, nil
}

var fractionForm = regexp.MustCompile(`^(\d{1,2})?\s*/\s*(\d{1,2})`)

// fraction adds the "1/2" of "12 1/2", or makes one half of "1/2".
func (d decimalStyle) fraction(x float64, rest string) (float64, string, error) {
	m := fractionForm.FindStringSubmatch(rest)
	if m == nil {
		return x, rest, nil
	}
	whole, above, below := x, float64(atoi(m[1])), float64(atoi(m[2]))
	if m[1] == "" {
		whole, above = 0, x
	}
	if below == 0 || above >= below {
		return 0, rest, errNoFigure
	}
	return whole + above/below, strings.TrimSpace(rest[len(m[0]):]), nil
}

// firstWord cuts the unit off: letters, or one of the signs for feet and inches.
func firstWord(text string) (word, rest string) {
	if strings.HasPrefix(text, "'") || strings.HasPrefix(text, `"`) {
		return text[:1], strings.TrimSpace(text[1:])
	}
	text = strings.TrimLeft(text, "° ")
	i := strings.IndexFunc(text, func(r rune) bool { return r < 'a' || r > 'z' })
	if i < 0 {
		return text, ""
	}
	return text[:i], strings.TrimLeft(text[i:], ". ")
}

// trailing takes what may stand behind a figure: the way a length was measured.
func trailing(text string) (advisor.LengthType, string, error) {
	text = strings.TrimSpace(text)
	if text == "" || text[0] >= '0' && text[0] <= '9' {
		return "", text, nil
	}
	word, rest := firstWord(strings.Trim(text, "()"))
	if kind, ok := known().lengthType(word); ok && strings.Trim(rest, ")") == "" {
		return kind, "", nil
	}
	return "", text, errWrongUnit
}

// settle gives each amount its unit: its own, else that of the others, else the heading's.
func settle(amounts []amount, fallback *unit) ([]float64, error) {
	for _, a := range amounts {
		if a.unit != nil {
			fallback = a.unit
		}
	}
	if fallback == nil {
		return nil, errNoUnit
	}
	values := make([]float64, len(amounts))
	for i, a := range amounts {
		values[i] = a.value
		if a.unit == nil {
			values[i] = fallback.base(a.value)
		}
	}
	return values, nil
}
