package season

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store/catch"
)

func TestOneFishInEveryTable(t *testing.T) {
	f := find(t,
		released(0, advisor.Recompressed, 30),
		released(0, advisor.Surface, 30.5, went(advisor.FloatedOff), who(2)),
		released(40, advisor.Surface, 12, went("")),
		released(41, advisor.Vented, 200, went(advisor.TakenByOther)),
		released(41, advisor.Kept, 30),
		released(42, "", 30),
		released(43, advisor.Surface, 30, func(r *catch.Report) { r.DepthM = nil; r.Species = "" }),
		released(44, advisor.Surface, 30, func(r *catch.Report) { r.Undone = true }),
	)
	assert.Equal(t, 7, f.Reports)
	assert.Equal(t, 5, f.Released)
	assert.Equal(t, 2, f.Anglers)
	assert.Equal(t, Count{Fish: 3, Seen: 2, WentDown: 1, Floated: 1}, f.Methods[advisor.Surface])
	assert.Equal(t, Share{0, 1}, f.Methods[advisor.Recompressed].Troubled())
	assert.Equal(t, day(43), f.Last)

	require.Len(t, f.Species, 2)
	assert.Equal(t, snapper, f.Species[0].Species)
	assert.Equal(t, 4, f.Species[0].Released)
	assert.Equal(t, 1, f.Species[0].Methods[advisor.Kept].Fish)
	assert.Equal(t, Share{1, 4}, f.Species[0].SentDown())

	var bands []string
	for _, r := range f.Depths {
		bands = append(bands, fmt.Sprint(r.Band, " ", r.Released))
	}
	assert.Equal(t, []string{"to 20 m 1", "20–30 m 1", "30–40 m 1", "over 150 m 1"}, bands, "30 m is in the band that ends there")

	require.Len(t, f.Months, 2)
	assert.Equal(t, [3]int{2026, 3, 2}, [3]int{f.Months[0].Year, f.Months[0].Month, f.Months[0].Released})
	assert.Equal(t, [3]int{2026, 4, 3}, [3]int{f.Months[1].Year, f.Months[1].Month, f.Months[1].Released})

	assert.Equal(t, 1, f.left(OutUndone))
	assert.Equal(t, 1, f.left(OutNoMethod))
	assert.Equal(t, 1, f.left(OutDepthTable))
	assert.Equal(t, 1, f.Doubts[DoubtSpeciesUnknown])
	assert.Equal(t, 1, f.Doubts[DoubtNotWatched])
}

func TestABrokenLogIsAnError(t *testing.T) {
	broken := errors.New("page 7 is torn")
	_, err := Find(func(yield func(*catch.Report, error) bool) {
		if yield(released(0, advisor.Surface, 30), nil) {
			yield(nil, broken)
		}
	}, Options{})
	assert.ErrorIs(t, err, broken)
}

func TestAnEmptyLogHasNothingToCompare(t *testing.T) {
	f := find(t)
	assert.Zero(t, f.Released)
	assert.Empty(t, f.Tags.Counted.Comparisons)
	assert.Empty(t, f.Boat)
	assert.Equal(t, Alive{}, f.Alive)
}

func TestConfirmedFiguresAreNoDoubt(t *testing.T) {
	odd := func(flags ...string) func(*catch.Report) { return func(r *catch.Report) { r.Flags = flags } }
	f := find(t,
		released(0, advisor.Surface, 30, odd("size_for_length")),
		released(0, advisor.Surface, 30, odd("size_for_length", string(DoubtConfirmed))),
		released(0, advisor.Surface, 30, odd("tag_twice")),
	)
	assert.Equal(t, 1, f.Doubts["size_for_length"])
	assert.Equal(t, 1, f.Doubts[DoubtConfirmed])
	assert.NotContains(t, f.Doubts, Doubt("tag_twice"), "tags are judged from the whole log")
}

// The fish are those of a published table, 3751 gray triggerfish tagged in the Gulf
// of Mexico, vented or not (Hyman et al. 2026, public data); the figures are R's,
// from testdata/r/recaptures.R.
func TestAPublishedTagTableComesOutAsInR(t *testing.T) {
	f := find(t, publishedFish(t)...)
	r := outputOfR(t)
	vented, top := f.Tags.Counted.Methods[advisor.Vented], f.Tags.Counted.Methods[advisor.Surface]
	low, high := Wilson(vented.X, vented.N, confidence)
	near(t, r["vented"], float64(vented.X), float64(vented.N), low, high)
	low, high = Wilson(top.X, top.N, confidence)
	near(t, r["surface"], float64(top.X), float64(top.N), low, high)
	low, high = ClopperPearson(vented.X, vented.N, confidence)
	near(t, r["clopper_pearson_vented"], low, high)

	require.Len(t, f.Tags.Counted.Comparisons, 1)
	c := f.Tags.Counted.Comparisons[0]
	near(t, r["ratio"], c.Ratio)
	near(t, r["koopman"], c.Low, c.High)
	near(t, r["fisher"], c.P)
	near(t, r["mh_rr"], c.Depth.Ratio.Value, c.Depth.Ratio.SE, c.Depth.Ratio.Low, c.Depth.Ratio.High)
	near(t, r["mh_rd"], c.Depth.Difference.Value, c.Depth.Difference.SE)
	near(t, r["mh_or"], c.Depth.Odds.Value, c.Depth.Odds.Low, c.Depth.Odds.High)
	near(t, r["cmh"], c.Depth.X2, c.Depth.P)
	near(t, r["breslow_day"], c.Depth.Even.X2, c.Depth.Even.P)
	near(t, r["trend"], f.Tags.Counted.Trends[0].Z*f.Tags.Counted.Trends[0].Z, f.Tags.Counted.Trends[0].P)
	assert.Equal(t, Less, c.Verdict())
}

func near(t *testing.T, want []float64, got ...float64) {
	t.Helper()
	require.Len(t, want, len(got))
	for i := range want {
		assert.InEpsilon(t, want[i], got[i], 1e-9)
	}
}

// publishedFish makes one tagged fish for each that was counted, seen again after a
// month or not.
func publishedFish(t *testing.T) (list []*catch.Report) {
	t.Helper()
	f, err := os.Open("../../testdata/r/recaptures.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	for _, row := range rows[1:] {
		var n [3]int
		for i, cell := range []string{row[0], row[2], row[3]} {
			n[i], err = strconv.Atoi(cell)
			require.NoError(t, err)
		}
		for i := range n[2] {
			number := fmt.Sprintf("%s%d-%d", row[1], n[0], i)
			list = append(list, released(0, advisor.Method(row[1]), float64(n[0]), tag(number)))
			if i < n[1] {
				list = append(list, released(30, "", float64(n[0]), seen(number)))
			}
		}
	}
	require.Len(t, list, 3751+394)
	return append(list, released(60, advisor.Kept, 30))
}

func outputOfR(t *testing.T) map[string][]float64 {
	t.Helper()
	f, err := os.Open("../../testdata/r/recaptures.out")
	require.NoError(t, err)
	defer f.Close()
	lines := map[string][]float64{}
	for s := bufio.NewScanner(f); s.Scan(); {
		words := strings.Fields(s.Text())
		for _, w := range words[1:] {
			x, err := strconv.ParseFloat(w, 64)
			require.NoError(t, err)
			lines[words[0]] = append(lines[words[0]], x)
		}
	}
	return lines
}
