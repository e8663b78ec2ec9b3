package bot

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/bot/words"
)

// Every answer can be read on a phone: at most six lines, ten rows of 38 characters, and the
// first line has the weights and the depth that the figures have.
func TestAnswersFitAPhone(t *testing.T) {
	long := map[string]int{}
	for i, s := range advisor.Catalogue() {
		for j, q := range sweptQueries(s) {
			for _, tag := range words.Languages {
				v := words.For(tag.String(), (i+j)%2 == 0)
				a := advisor.Advise(q)
				m := understand.Meaning{Query: q, Missing: understand.Missing(q)}
				text := wordAdvice(v, m, a)
				rows := 0
				lines := strings.Split(text, "\n")
				for _, line := range lines {
					rows += rowsOf(line)
				}
				require.LessOrEqual(t, len(lines), 6, "%s", text)
				if rows > phoneRows {
					long[tag.String()]++
					require.LessOrEqual(t, rows, phoneRows+2, "%s", text)
				}
				require.NotContains(t, text, "%!", text)
				agrees(t, voiceFor(v, q), lines[0], a)
			}
		}
	}
	t.Logf("answers that take one or two rows more than %d, for long names, by language: %v", phoneRows, long)
}

// sweptQueries are the fish of a species in which answers differ most.
func sweptQueries(s *advisor.Species) []advisor.Query {
	base := advisor.Query{Species: s.ScientificName, SpeciesName: s.EnglishName, Count: 1}
	var list []advisor.Query
	for _, depth := range []float64{8, 15, 40, 90, 200} {
		for _, state := range []advisor.Query{
			{}, {Behaviour: advisor.Floating, WeightKg: new(12.0)}, {Behaviour: advisor.Strong, LengthCm: new(40.0)},
			{Signs: []advisor.Sign{advisor.EvertedStomach}, Hook: advisor.HookGut, MinutesOnDeck: new(6.0), Count: 4, Predators: true, WeightKg: new(11.0)},
			{NoWeight: true, WeightKg: new(2.0)}, {LeadAboardOz: []float64{8, 8}, NoWeight: true, WeightKg: new(9.0)}, {WeightsAboardOz: []float64{17.6, 35.3}, WeightKg: new(5.0)},
		} {
			q := base
			q.DepthM, q.WeightKg, q.LengthCm = &depth, state.WeightKg, state.LengthCm
			q.Behaviour, q.Signs, q.Hook, q.MinutesOnDeck, q.Predators = state.Behaviour, state.Signs, state.Hook, state.MinutesOnDeck, state.Predators
			q.WeightsAboardOz, q.LeadAboardOz, q.NoWeight = state.WeightsAboardOz, state.LeadAboardOz, state.NoWeight
			q.Count = max(1, state.Count)
			list = append(list, q)
		}
	}
	return list
}

// agrees checks that the first line says what the figures say.
func agrees(t *testing.T, v words.Voice, head string, a advisor.Advice) {
	t.Helper()
	if a.Action != advisor.ActRecompress {
		return
	}
	require.Contains(t, head, v.Depth(*a.ReleaseDepthM), fmt.Sprint(a.Species.EnglishName))
	if len(a.ReleaseWeightsOz) > 0 {
		require.Contains(t, head, v.OuncesTogether(a.ReleaseWeightsOz))
	} else {
		require.Contains(t, head, v.Ounces(math.Ceil(*a.NeededOz)))
	}
	if a.PushDownDepthM != nil {
		require.Contains(t, head, v.Depth(math.Ceil(*a.PushDownDepthM)))
	}
}
