package importer

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// readText reads CSV: comma, semicolon, tab or bar between the cells, in UTF-8,
// UTF-16 or Windows-1252, with any line ends.
func readText(data []byte, l limits) (*table, error) {
	text, coding, err := decodeText(data)
	if err != nil {
		return nil, err
	}
	text = plainLineEnds(text)
	first := 1
	separator, said := saidSeparator(text)
	if said {
		_, text, _ = strings.Cut(text, "\n")
		first = 2
	} else {
		separator = likelySeparator(text)
	}
	t := &table{form: fmt.Sprintf("CSV, %s, %s between the cells", coding, separatorNames[separator])}
	err = eachRecord(text, separator, func(n int, cells []string) error {
		return t.add(line{number: n + first - 1, cells: slices.Clone(cells)}, l)
	})
	return t, err
}

var separatorNames = map[rune]string{',': "commas", ';': "semicolons", '\t': "tabs", '|': "bars"}

// decodeText turns bytes into text. What is not UTF-8 is taken for Windows-1252,
// in which every byte is a letter: spreadsheets still write it.
func decodeText(data []byte) (text, coding string, err error) {
	var from encoding.Encoding
	switch {
	case bytes.HasPrefix(data, []byte{0xEF, 0xBB, 0xBF}):
		data, coding = data[3:], "UTF-8"
	case bytes.HasPrefix(data, []byte{0xFF, 0xFE}), bytes.HasPrefix(data, []byte{0xFE, 0xFF}):
		from, coding = unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), "UTF-16"
	case utf8.Valid(data):
		coding = "UTF-8"
	default:
		from, coding = charmap.Windows1252, "Windows-1252"
	}
	if from != nil {
		if data, err = from.NewDecoder().Bytes(data); err != nil {
			return "", "", fmt.Errorf("%w: %w", ErrNotATable, err)
		}
	}
	if bytes.IndexByte(data, 0) >= 0 {
		return "", "", ErrNotATable
	}
	return strings.ToValidUTF8(string(data), "\ufffd"), coding, nil
}

func plainLineEnds(text string) string {
	if !strings.Contains(text, "\r") {
		return text
	}
	return strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
}

// saidSeparator reads the line "sep=;" that some spreadsheets put first.
func saidSeparator(text string) (rune, bool) {
	first, _, _ := strings.Cut(text, "\n")
	rest, ok := strings.CutPrefix(strings.ToLower(first), "sep=")
	if !ok {
		return 0, false
	}
	separator, _ := utf8.DecodeRuneInString(rest)
	_, known := separatorNames[separator]
	return separator, known
}

// sampleLines is how many records are looked at to find the separator.
const sampleLines = 50

// likelySeparator is the one that cuts most records of the beginning into the same
// number of cells, and into most of them.
func likelySeparator(text string) rune {
	best, bestScore := ',', 0.0
	for _, separator := range []rune{',', ';', '\t', '|'} {
		if score := evenness(text, separator); score > bestScore {
			best, bestScore = separator, score
		}
	}
	return best
}

var errEnough = errors.New("enough")

func evenness(text string, separator rune) float64 {
	widths := map[int]int{}
	n := 0
	_ = eachRecord(text, separator, func(_ int, cells []string) error {
		widths[len(cells)]++
		if n++; n == sampleLines {
			return errEnough
		}
		return nil
	})
	best := 0.0
	for width, lines := range widths {
		best = max(best, float64(width-1)*float64(lines)/float64(n))
	}
	return best
}

func eachRecord(text string, separator rune, take func(n int, cells []string) error) error {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes, r.ReuseRecord = separator, -1, true, true
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return fmt.Errorf("%w: %w", ErrNotATable, err)
		}
		n, _ := r.FieldPos(0)
		if err := take(n, cells); err != nil {
			return err
		}
	}
}
