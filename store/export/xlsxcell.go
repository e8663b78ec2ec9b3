package export

import (
	"bytes"
	"encoding/xml"
	"regexp"
	"strconv"
	"time"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"
)

// cellText is how many characters a cell of a workbook holds, in units of UTF-16 (ECMA-376).
const cellText = excelize.TotalCellChars

// appendCell writes the value of a row in the type of its column; nothing for none.
func (b *book) appendCell(page []byte, c *Column, letters, number string, x *row) []byte {
	begun := len(page)
	page = append(append(append(page, `<c r="`...), letters...), number...)
	switch c.Kind {
	case kindNumber:
		v, ok := c.number(x)
		if !ok {
			return page[:begun]
		}
		page = append(page, `"><v>`...)
		start := len(page)
		if page = appendNumber(page, v); len(page) == start {
			return page[:begun]
		}
		return append(page, "</v></c>"...)
	case kindYesNo:
		if c.yes(x) {
			return append(page, `" t="b"><v>1</v></c>`...)
		}
		return append(page, `" t="b"><v>0</v></c>`...)
	case kindDate:
		day, ok := serialDay(x.CaughtAt)
		switch {
		case x.dayUnknown():
			return page[:begun]
		case ok:
			page = append(append(append(page, `" s="`...), b.date...), `"><v>`...)
			return append(strconv.AppendInt(page, day, 10), "</v></c>"...)
		}
	}
	page = append(page, `" t="inlineStr"><is><t>`...)
	start := len(page)
	page = c.text(page, x)
	switch text := page[start:]; {
	case len(text) == 0:
		return page[:begun]
	case !isEasy(text):
		page = appendText(page[:start-len("<t>")], bytes.Clone(text))
	}
	return append(page, "</t></is></c>"...)
}

// serialDay is the number of a day in the calendar of a workbook, which begins with 1900 and
// has a 29 February in it that never was; ok is false for a day before that.
func serialDay(t time.Time) (n int64, ok bool) {
	const unixDay, march1900 = 25569, 61
	year, month, day := t.Date()
	n = time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix()/86400 + unixDay
	if n < march1900 {
		n--
	}
	return n, n > 0
}

// isEasy is true for a text that stands in XML as it is; most are such.
func isEasy(text []byte) bool {
	if len(text) > cellText/2 || text[0] == ' ' || text[len(text)-1] == ' ' {
		return false
	}
	for _, c := range text {
		if c < ' ' || c >= 0x7f || c == '<' || c == '>' || c == '&' || c == '"' || c == '\'' || c == '_' {
			return false
		}
	}
	return true
}

// hexMark is what a workbook reads as one character by its number; to stay as it is, its
// first sign is written so itself (ECMA-376, ST_Xstring).
var hexMark = regexp.MustCompile(`_(x[0-9A-Fa-f]{4}_)`)

// appendText begins the text of a cell and writes it, blanks at its ends kept.
func appendText(page, text []byte) []byte {
	text = fitting(withoutControls(text))
	if len(bytes.Trim(text, " \t\r\n")) < len(text) {
		page = append(page, `<t xml:space="preserve">`...)
	} else {
		page = append(page, "<t>"...)
	}
	var b bytes.Buffer
	_ = xml.EscapeText(&b, hexMark.ReplaceAll(text, []byte("_x005F_$1"))) // a buffer takes all
	return append(page, bytes.ReplaceAll(b.Bytes(), []byte("&#xA;"), []byte("\n"))...)
}

// fitting is as much of a text as a cell holds.
func fitting(text []byte) []byte {
	if len(text) <= cellText {
		return text
	}
	units := 0
	for i, r := range string(text) {
		if units += max(utf16.RuneLen(r), 1); units > cellText {
			return text[:i]
		}
	}
	return text
}
