package words

import (
	"strconv"
	"strings"

	"golang.org/x/text/message"
	"golang.org/x/text/number"
)

// marks are how a language writes a number: what stands before its decimals and
// between its thousands.
type marks struct{ decimal, thousands string }

// marksOf learns them from one number that the printer writes.
func marksOf(p *message.Printer) marks {
	text := p.Sprint(number.Decimal(123456.5))
	return marks{decimal: text[strings.Index(text, "6")+1 : len(text)-1], thousands: text[3:strings.Index(text, "4")]}
}

// write writes x with at most so many decimals and without trailing zeros, as the
// printer would, which takes some 2 µs for each: a reply holds a dozen numbers.
// What rounds to nothing is "0", without a minus.
func (m marks) write(x float64, decimals int) string {
	text := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		return "0"
	}
	whole, fraction, _ := strings.Cut(text, ".")
	b := make([]byte, 0, 24)
	if digits, negative := strings.CutPrefix(whole, "-"); negative {
		b, whole = append(b, '-'), digits
	}
	for i, digit := range []byte(whole) {
		if i > 0 && (len(whole)-i)%3 == 0 {
			b = append(b, m.thousands...)
		}
		b = append(b, digit)
	}
	if fraction = strings.TrimRight(fraction, "0"); fraction != "" {
		b = append(append(b, m.decimal...), fraction...)
	}
	return string(b)
}
