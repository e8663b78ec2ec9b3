package advisor

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor/packed"
)

func TestEveryFindingCanBeTraced(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range Findings() {
		require.False(t, seen[f.ID], "%s stands twice", f.ID)
		seen[f.ID] = true
		require.NotEmpty(t, f.Citation, f.ID)
		require.True(t, strings.HasPrefix(f.URL, "http"), f.ID)
		require.NotEmpty(t, f.Study, f.ID)
		require.NotEmpty(t, f.Fit.Reason, f.ID)
		require.NotEmpty(t, FamilyOf(f.Kin), "%s: kin %q", f.ID, f.Kin)
		if f.Mortality != nil {
			require.True(t, 0 <= *f.Mortality && *f.Mortality <= 1, f.ID)
		}
	}
}

// The table starts from 143 published rows; what was found beside them is marked: SUB on
// getting down, SH from the shallows, BLK the individual black rockfish in finer bins.
func TestTableHoldsAllThatWasPublished(t *testing.T) {
	count := map[string]int{}
	for _, f := range Findings() {
		count[strings.SplitN(f.ID, "-", 2)[0]]++
	}
	require.Equal(t, map[string]int{"GMT": 45, "PFMC14": 30, "AU": 9, "NZ": 5, "RS": 17, "TF": 3, "GR": 9, "BS": 5, "RF": 20, "SUB": 4, "SH": 4, "BLK": 3}, count)
}

func TestNoFishIsPooledTwice(t *testing.T) {
	fitted := Posterior().Fitted().To.IDs
	for _, f := range Findings() {
		require.Equal(t, f.Use == UseFit, slices.Contains(fitted, f.ID), f.ID)
		told := strings.ToLower(f.Note)
		if strings.Contains(told, "duplicates") || strings.Contains(told, "overlaps") || strings.Contains(told, "same fish") {
			require.NotEqual(t, UseFit, f.Use, f.ID)
		}
		require.False(t, f.Kind == "management-table" && f.Use == UseFit, f.ID)
	}
}

// A row marked PROXY is no death: it may only bear on the chance to submerge.
func TestProxiesBearOnSubmergingOnly(t *testing.T) {
	for _, f := range Findings() {
		if f.Use == UseFit && strings.Contains(f.Note, "PROXY") {
			require.True(t, f.Fit.Proxy, f.ID)
		}
	}
}

// Cages and tanks keep predators out: their findings must not be read as if they
// held the later deaths and the predators that the open sea adds.
func TestCagesAreFloors(t *testing.T) {
	for _, f := range Findings() {
		if f.Use == UseFit && f.Method == "caged" {
			require.False(t, f.Fit.Exposure.Field, f.ID)
		}
		if f.Use == UseFit && f.Kind == "telemetry" && f.Mortality != nil && f.ID != "TF-001" {
			require.True(t, f.Fit.Exposure.Field, f.ID)
		}
	}
}

func TestEvidenceForEachLevel(t *testing.T) {
	snapper := EvidenceFor(LookUp("Lutjanus campechanus"))
	require.Equal(t, []string{"Lutjanus campechanus"}, snapper.SpeciesSeen)
	require.Len(t, snapper.Findings, 16)
	require.Len(t, snapper.Beside, 2, "Runde's best case and the meta-analysis")
	require.Equal(t, 17.0, snapper.SeenMinM)
	require.Equal(t, 85.0, snapper.SeenMaxM)

	vermilion := EvidenceFor(LookUp("Rhomboplites aurorubens"))
	require.Equal(t, LevelGroup, vermilion.Basis.Level)
	require.Contains(t, vermilion.SpeciesSeen, "Lutjanus campechanus")

	amberjack := EvidenceFor(LookUp("Seriola dumerili"))
	require.Len(t, amberjack.Pairs, 1)
	require.Equal(t, "Boyle et al. 2022", amberjack.Pairs[0].Study)
	require.True(t, amberjack.Pairs[0].ShowsNoGain())

	general := EvidenceFor(nil)
	require.Equal(t, LevelGeneral, general.Basis.Level)
	require.Greater(t, len(general.SpeciesSeen), 30)
}

func TestWrittenEvidenceCitesWhatItCounts(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, WriteEvidence(&b, LookUp("Lutjanus campechanus")))
	text := b.String()
	for _, words := range []string{
		"Red snapper (Lutjanus campechanus)", "studies of this species: 8 studies", "sent down", "Bohaboy EC",
		"Gitschlag GR, Renaud ML 1994", "100 m*", "deeper than anything studied", "The evidence disagrees", "Kept beside, not pooled",
	} {
		require.Contains(t, text, words)
	}
	require.Contains(t, text, "Gain found +0.28, 30-60 m: sending down helps")
}

func TestGainThatRoundsToNothingHasNoMinus(t *testing.T) {
	assert.Equal(t, "+0.00 (-0.06 to +0.03)", gainText(Gain{P: -0.004, Low: -0.06, High: 0.03}))
}

func TestWrittenEvidenceSaysWhenNothingIsTrapped(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, WriteEvidence(&b, LookUp("Paralichthys dentatus")))
	require.Contains(t, b.String(), "barotrauma does not apply")
}

func TestBrokenEvidenceIsRefusedByRow(t *testing.T) {
	table := bytes.Replace(packed.Open(evidenceGzip), []byte(",0.8,0.376,"), []byte(",much,0.376,"), 1)
	err := readRows(table, func(r *tableRow) { findingRow{r}.finding() })
	require.ErrorContains(t, err, "row 2 (GMT-001)")
}

func TestABrokenPairIsRefusedByRow(t *testing.T) {
	table := bytes.Replace([]byte(pairsCSV), []byte(",0.279,"), []byte(",much,"), 1)
	err := readRows(table, func(r *tableRow) { findingRow{r}.pair() })
	require.ErrorContains(t, err, "row 2 (PAIR-01)")
}
