package importer

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store"
	"deepward/store/catch"
)

// tally counts fish and those seen again, by method.
type tally map[advisor.Method][2]int

// releaseTable invents a tag-release table of the size of a published one, and
// counts it while it is written.
func releaseTable(n int, tags bool) (string, tally) {
	rng := rand.New(rand.NewPCG(1, 2))
	truth := tally{}
	var b strings.Builder
	b.WriteString("Species,Date tagged,Depth (m),FL (mm),Vented,Recaptured,Recapture date,Days at liberty,Release condition")
	if tags {
		b.WriteString(",Tag #")
	}
	b.WriteString("\n")
	for i := range n {
		vented, again := rng.IntN(2), rng.IntN(8) == 0
		day := 1 + rng.IntN(28)
		later, days, seen := "NA", "NA", 0
		if again {
			seen = 1
			days = fmt.Sprint(31 - day + 14)
			later = "14/07/2024"
			if i%3 == 0 {
				later = "" // only the days are known
			}
		}
		fmt.Fprintf(&b, "Balistes capriscus,%02d/06/2024,%d,%d,%d,%d,%s,%s,Good", day, 20+rng.IntN(30), 280+rng.IntN(120), vented, seen, later, days)
		if tags {
			fmt.Fprintf(&b, ",XG%05d", i)
		}
		b.WriteString("\n")
		m := [...]advisor.Method{advisor.Surface, advisor.Vented}[vented]
		count := truth[m]
		truth[m] = [2]int{count[0] + 1, count[1] + seen}
	}
	return b.String(), truth
}

func TestPublishedTableIsCountedAsItStands(t *testing.T) {
	for _, tags := range []bool{true, false} {
		text, truth := releaseTable(5000, tags)
		sheet := sheetOf(t, text, options())
		require.NoError(t, sheet.Ready())
		s := openStore(t)
		added, _, err := importInto(t, s, sheet, false)
		require.NoError(t, err)
		again := truth[advisor.Surface][1] + truth[advisor.Vented][1]
		assert.Equal(t, 5000+again, added, "one report a release, one a recapture")
		assert.Equal(t, truth, countedIn(t, s))
	}
}

// countedIn joins releases and recaptures by tag, as the season report does.
func countedIn(t *testing.T, s *store.Store) tally {
	t.Helper()
	method := map[string]advisor.Method{}
	got := tally{}
	require.NoError(t, s.View(func(tx *store.Tx) error {
		for r, err := range tx.Reports(catch.Filter{}) {
			if err != nil {
				return err
			}
			count := got[r.Method]
			switch first, seen := method[r.Tag]; {
			case !r.Recapture:
				method[r.Tag] = r.Method
				got[r.Method] = [2]int{count[0] + 1, count[1]}
			case seen:
				got[first] = [2]int{got[first][0], got[first][1] + 1}
			}
		}
		return nil
	}))
	return got
}
