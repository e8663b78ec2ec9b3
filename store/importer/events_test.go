package importer

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
)

// eventTable invents a table of one line an event, with a code book above it and two
// tags a fish, of which some lose the first; it is counted while it is written.
func eventTable(n int) (string, tally) {
	rng := rand.New(rand.NewPCG(3, 4))
	truth := tally{}
	var b strings.Builder
	b.WriteString("\"Release treatment: 0 = none, 1 = vented, 2 = descended\"\n")
	b.WriteString("Event,EventDate,Tag1,Tag2,Sp,FL_mm,BottomDepth_m,CaptureDepth_m,AirTemp,Release treatment\n")
	methods := [...]advisor.Method{advisor.Surface, advisor.Vented, advisor.Recompressed}
	for i := range n {
		code := rng.IntN(len(methods))
		deep := 30 + i%20
		fmt.Fprintf(&b, "T,2011-05-%02d,C%05d,D%05d,gag,%d,%d,%d,31,%d\n", 1+rng.IntN(28), i, i, 480+i%90, deep+4, deep, code)
		seen := 0
		if rng.IntN(8) == 0 {
			seen = 1
			first := fmt.Sprintf("C%05d", i)
			if rng.IntN(4) == 0 {
				first = ""
			}
			fmt.Fprintf(&b, "R,2011-09-%02d,%s,D%05d,gag,%d,%d,%d,28,\n", 1+rng.IntN(28), first, i, 490+i%90, deep+2, deep)
		}
		count := truth[methods[code]]
		truth[methods[code]] = [2]int{count[0] + 1, count[1] + seen}
	}
	return b.String(), truth
}

func TestTableOfEventsIsCountedAsItStands(t *testing.T) {
	text, truth := eventTable(4500)
	sheet := sheetOf(t, text, options())
	require.NoError(t, sheet.Ready())
	s := openStore(t)
	_, _, err := importInto(t, s, sheet, false)
	require.NoError(t, err)
	assert.Equal(t, truth, countedIn(t, s))
}
