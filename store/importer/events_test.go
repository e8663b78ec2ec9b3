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

func TestGroupOfRecapturesEndsWhereEveryFishIsTold(t *testing.T) {
	text := ",,TAGGING,,,RECAPTURE,,,\nTag #,Date,Sp.,Length (in),Meas.,Depth (ft),Recap date,Recap depth,Lat/Lon,Comments\n"
	text = strings.Replace(text, ",,TAGGING,,,RECAPTURE", ",,TAGGING,,,,RECAPTURE", 1)
	text += "A1,3/14/2018,gag,27 1/2,TL,120,6/2/2018,110,29 12.4N 88 10.2W,\nA2,3/15/2018,gag,22,FL,130,,,29 14.0N 88 11.0W,lip\nA3,3/16/2018,gag,23,FL,130,,,29 14.0N 88 11.0W,\n"
	s := sheetOf(t, text, options())
	require.NoError(t, s.Ready())
	require.Len(t, s.Rows, 3)
	first := s.Rows[0].Entries
	require.Len(t, first, 2)
	assert.NotNil(t, first[0].Report.Cell, "the place is that of the release")
	assert.InDelta(t, 110*0.3048, *first[1].Report.DepthM, 1e-9, "the depth at the recapture is in the unit of that at release")
	assert.Equal(t, advisor.TotalLength, first[0].Report.LengthType)
	assert.Contains(t, s.Rows[1].Entries[0].Report.Personal.Note, "lip")
}

func TestColumnsThatNameFishOrTheDepthOfReleaseAreAsked(t *testing.T) {
	o := options()
	s := sheetOf(t, "Date,Our catch of the day,Depth m,Released At (fm)\n2024-05-06,gag,80,30\n2024-05-07,red snapper,90,31\n", o)
	require.Len(t, s.Questions, 2)
	assert.Contains(t, s.Questions[0].Asks(), `does "Our catch of the day" name the fish?`)
	assert.Contains(t, s.Questions[1].Asks(), "Which?")
	o.Columns = map[string]string{"Our catch of the day": "species", "Released At (fm)": "released at depth fm"}
	s = sheetOf(t, "Date,Our catch of the day,Depth m,Released At (fm)\n2024-05-06,gag,80,30\n2024-05-07,red snapper,90,31\n", o)
	require.NoError(t, s.Ready())
	r := s.Rows[0].Entries[0].Report
	assert.Equal(t, "Mycteroperca microlepis", r.Species)
	assert.InDelta(t, 30*1.8288, *r.ReleaseDepthM, 1e-9)
}
