package export

import (
	"bytes"
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// OWASP, CSV injection: no cell may begin with = + - @, tab or line end, nor may
// what a reader with another separator takes for a cell.
func TestSpreadsheetRunsNoCell(t *testing.T) {
	o := options(CSV)
	o.WithWords = true
	for _, row := range writtenRows(t, append(season(50), fixed()...), o)[1:] {
		for i, cell := range row {
			if Columns()[i].Kind == kindNumber {
				if cell != "" {
					_, err := strconv.ParseFloat(cell, 64)
					assert.NoError(t, err, cell)
				}
				continue
			}
			for _, part := range strings.FieldsFunc(cell, func(r rune) bool { return strings.ContainsRune(",;|\n\r\t", r) }) {
				assert.NotRegexp(t, `^[\s\x{200b}\x{feff}]*[=+\-@＝＋－＠]`, part, cell)
			}
			assert.NotRegexp(t, `^[\t\r\n]`, cell)
		}
	}
}

func TestHostileCells(t *testing.T) {
	for in, want := range map[string]string{
		"plain": "plain", "": "", "a,b": `"a,b"`, `say "hi"`: `"say ""hi"""`, " x": `" x"`, "two\nlines": "\"two\nlines\"",
		"=1+1": `"'=1+1"`, " \t@x": `"' ` + "\t" + `'@x"`, "＝1": `"'＝1"`, "　＠x": `"'　＠x"`, "\t": "\"'\t\"", "-3": `"'-3"`,
		"nul\x00": `"nul"`, "\x00=1": `"'=1"`, "cod; =1": `"cod;' =1"`, "x\r\n+1": "\"x\r\n'+1\"", "a|@b": `"a|'@b"`,
		"32-40": "32-40", "red - hot": "red - hot", "me@club": "me@club", "20+40": "20+40", "鯛": "鯛", "ﬂat": "ﬂat",
	} {
		assert.Equal(t, want, string(spreadsheetCell([]byte(in), 0)), "%q", in)
	}
}

func TestTableCellsReadBackAsTheyWere(t *testing.T) {
	for _, in := range []string{"plain", "", "a,b", `say "hi"`, " x ", "two\nlines", "=1+1", "\t", "é", `"`, `""`, ","} {
		line := append(plainCell([]byte(in), 0), ",end\n"...)
		row, err := csv.NewReader(bytes.NewReader(line)).Read()
		require.NoError(t, err)
		assert.Equal(t, []string{in, "end"}, row)
	}
}

func FuzzSpreadsheetCell(f *testing.F) {
	for _, s := range []string{"=1+1", "a;=b", "\x00-1", "\u200b＋1", "\"=1\"", "x\r\n@y", "plain"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, in string) {
		line := spreadsheetCell([]byte("before,"+in), len("before,"))
		row, err := csv.NewReader(bytes.NewReader(append(line, '\n'))).Read()
		require.NoError(t, err)
		require.Len(t, row, 2)
		assert.False(t, len(row[1]) > 0 && runs([]byte(row[1])), "%q", row[1])
	})
}

func TestNumbersHaveFourDecimalsAtMost(t *testing.T) {
	for _, c := range []struct {
		x    float64
		want string
	}{
		{0, "0"}, {math.Copysign(0, -1), "0"}, {12, "12"}, {-0.00001, "0"}, {0.1 + 0.2, "0.3"}, {-31.249999999999996, "-31.25"},
		{1.36077711, "1.3608"}, {0.0001, "0.0001"}, {-119.455, "-119.455"}, {1e300, "1" + strings.Repeat("0", 300)},
		{math.NaN(), ""}, {math.Inf(1), ""}, {99999.99999, "100000"}, {math.MaxUint32, "4294967295"},
	} {
		got := string(appendNumber(nil, c.x))
		if c.x == 1e300 {
			back, err := strconv.ParseFloat(got, 64)
			require.NoError(t, err)
			assert.Equal(t, c.x, back)
			continue
		}
		assert.Equal(t, c.want, got)
	}
}

// The standard library's layouts are the check.
func TestDatesAndTimesAreISO8601(t *testing.T) {
	for _, zone := range []int{0, -7 * 3600, 5*3600 + 1800, 14 * 3600, -(3*3600 + 1800)} {
		for _, at := range []time.Time{
			time.Date(2026, 5, 2, 10, 15, 0, 0, time.UTC), time.Date(1999, 12, 31, 23, 59, 59, 0, time.UTC), time.Date(987, 1, 1, 0, 0, 0, 0, time.UTC),
		} {
			at = at.In(time.FixedZone("", zone))
			assert.Equal(t, at.Format(time.DateOnly), string(appendDate(nil, at)))
			assert.Equal(t, at.Format("15:04Z07:00"), string(appendZone(appendClock(nil, at), at)))
		}
	}
}

// A cell ends before the character that no longer fits in 32,767 units of UTF-16 (ECMA-376).
func TestACellOfAWorkbookHoldsSoMuchText(t *testing.T) {
	full := strings.Repeat("é", 32_766)
	for text, want := range map[string]string{
		full + "x": full + "x", full + "xy": full + "x", full + "🐟": full, full + "\xff🐟": full + "\xff",
	} {
		assert.Equal(t, want, string(fitting([]byte(text))))
	}
	for text, want := range map[string]string{
		"gag": "<t>gag", " gag": `<t xml:space="preserve"> gag`, "gag\n": "<t xml:space=\"preserve\">gag\n", "_x000A_": "<t>_x005F_x000A_",
	} {
		assert.Equal(t, want, string(appendText(nil, []byte(text))))
	}
}
