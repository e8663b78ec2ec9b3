package fit

import (
	"math"
	"os"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"deepward/advisor"
)

// built is the whole run of go generate, once for all tests.
var built = sync.OnceValues(func() (Built, error) {
	f, err := os.Open("../testdata/survival_heldout.csv")
	if err != nil {
		return Built{}, err
	}
	defer f.Close()
	return Build(f)
})

// embedded is the fit as it stands in the file, without the search for spreads.
func embedded(t *testing.T) *Posterior {
	t.Helper()
	data, err := Read(advisor.Findings(), ByLift)
	require.NoError(t, err)
	s := advisor.Posterior().Fitted().Spread
	post, err := FitGiven(data, Spread{s.KinBarotrauma, s.SpeciesBarotrauma, s.SpeciesSlope, s.KinFloat, s.SpeciesFloat, s.Study, s.StudyFloat})
	require.NoError(t, err)
	return post
}

func TestRunningItAgainGivesTheSameFiles(t *testing.T) {
	b, err := built()
	require.NoError(t, err)
	for name, got := range map[string][]byte{"survival_model.json": b.Model, "SURVIVAL.md": b.Report} {
		want, err := os.ReadFile("../data/" + name)
		require.NoError(t, err)
		require.True(t, string(want) == string(got), "%s is stale: run go generate ./advisor/...", name)
	}
}

// The table that issue and docs ask for; run with -v to read it here.
func TestRangesHoldOnStudiesLeftOut(t *testing.T) {
	b, err := built()
	require.NoError(t, err)
	_, table, _ := strings.Cut(string(b.Report), "## Calibration")
	table, _, _ = strings.Cut(table, "## Figures")
	t.Log("## Calibration" + table)

	trial := b.Trial
	require.GreaterOrEqual(t, trial.Deaths.InsideCounting, 0.80)
	require.LessOrEqual(t, trial.Deaths.InsideCounting, 0.95, "a range that always holds says nothing")
	require.GreaterOrEqual(t, trial.Submerging.InsideCounting, 0.75, "a finding of 14 is seven points")
	require.Greater(t, trial.Deaths.LogScore, trial.OneForAll.LogScore)
	require.Greater(t, trial.Deaths.LogScore, trial.DepthOnly.LogScore)
	require.Less(t, trial.Deaths.MeanError, trial.DepthOnly.MeanError)
	require.Greater(t, trial.Deaths.LogScore, trial.DepthAndMethod.LogScore)
	require.Less(t, trial.Deaths.Interval, trial.DepthAndMethod.Interval)

	s := ScoreOf(Telling(trial.Full)) // as an outside table is laid beside the answers: no luck of few fish
	t.Logf("findings with 20 fish or more, of which some died: %d, inside the plain range %.0f %%, mean error %.3f", s.Rows, 100*s.Inside, s.MeanError)
	require.InDelta(t, 0.82, s.Inside, 0.10, "a finding of 31 is three points")
}

// The answers themselves hold strictly on studies left out, from the shallows down.
func TestAnswersHoldOnStudiesLeftOut(t *testing.T) {
	b, err := built()
	require.NoError(t, err)
	all := AnswerScoreOf(b.Trial.Answers, func(Answered) bool { return true })
	require.GreaterOrEqual(t, all.Inside, 0.70)
	require.LessOrEqual(t, all.Inside, 0.90, "a range that always holds says nothing")
	require.LessOrEqual(t, all.MeanError, 0.19)
	require.InDelta(t, 0, all.Bias, 0.06)
	seen := AnswerScoreOf(b.Trial.Seen, func(Answered) bool { return true })
	require.Less(t, seen.MeanError, all.MeanError, "the bound")
	shallow := AnswerScoreOf(b.Trial.Answers, func(a Answered) bool { return a.DepthM < 21 })
	require.GreaterOrEqual(t, shallow.Inside, 0.70)
	require.InDelta(t, 0, shallow.Bias, 0.05)
	require.LessOrEqual(t, shallow.MeanError, 0.12)
}

// Seven in ten published pairs lie inside the range of the gain, none of their studies seen.
func TestGainsHoldOnStudiesLeftOut(t *testing.T) {
	b, err := built()
	require.NoError(t, err)
	s := GainScoreOf(b.Trial.Gains)
	require.GreaterOrEqual(t, s.Pairs, 25)
	require.GreaterOrEqual(t, s.Inside, 0.70)
	require.LessOrEqual(t, s.Inside, 0.95, "a range that always holds says nothing")
	require.LessOrEqual(t, s.MeanError, 0.15)
}

// Three in four inside the range, mean difference at most 0.15: the measure that
// other published tables will be put to.
func TestFiguresThatWereNotFitted(t *testing.T) {
	f, err := os.Open("../testdata/survival_heldout.csv")
	require.NoError(t, err)
	defer f.Close()
	figures, err := ReadFigures(f)
	require.NoError(t, err)
	for name, list := range map[string][]Compared{
		"other published": Compare(advisor.Posterior(), figures),
		// The workbook takes every fish from beyond 55 m let go at the top as dead, and a
		// fifth of those from the shallows, where studies find 2 %: it errs for safety.
		"council": Compare(advisor.Posterior(), living(CouncilFigures())),
	} {
		inside, difference := Agreement(list)
		t.Logf("%s: %.0f %% of %d inside, mean difference %.3f", name, 100*inside, len(list), difference)
		require.GreaterOrEqual(t, inside, 0.75, name)
		require.LessOrEqual(t, difference, 0.16, name)
		for _, c := range list {
			t.Logf("%-24s %4.0f m %-12s published %.2f ours %.2f (%.2f-%.2f) %+.2f %s", c.Species, c.DepthM(), c.Method, c.Mortality, c.Ours.P, c.Ours.Low, c.Ours.High, c.Ours.P-c.Mortality, c.Source)
		}
	}
}

func living(list []Figure) (out []Figure) {
	for _, f := range list {
		if f.Mortality < 1 {
			out = append(out, f)
		}
	}
	return out
}

func TestSlopesAreThoseOfTheDifferences(t *testing.T) {
	post := embedded(t)
	p := newProblem(post.Data, post.Spread)
	slopes, scratch := make([]float64, p.layout.size), make([]float64, p.layout.size)
	const h = 1e-5
	for _, r := range post.Data.Rows {
		p.logitMortality(post.Mean, r, slopes)
		for i := range slopes {
			at := append([]float64(nil), post.Mean...)
			at[i] += h
			up := p.logitMortality(at, r, scratch)
			at[i] -= 2 * h
			down := p.logitMortality(at, r, scratch)
			require.InDelta(t, (up-down)/(2*h), slopes[i], 1e-4, "%s, parameter %d", r.ID, i)
		}
	}
}

func TestModeIsAModeAndItsCovarianceIsOne(t *testing.T) {
	post := embedded(t)
	p := newProblem(post.Data, post.Spread)
	value := p.evaluate(post.Mean, nil, nil)
	for i := range post.Mean {
		for _, step := range []float64{-0.05, 0.05} {
			at := append([]float64(nil), post.Mean...)
			at[i] += step
			require.Less(t, p.evaluate(at, nil, nil), value+1e-5, "parameter %d", i)
		}
	}
	var chol mat.Cholesky
	require.True(t, chol.Factorize(post.Cov))
}

// Fish that nobody counted must not lend certainty: with no findings at all the
// fit returns the priors.
func TestWithoutFindingsThePriorsStand(t *testing.T) {
	post := embedded(t)
	none := *post.Data
	none.Rows, none.Pairs = nil, nil
	bare, err := FitGiven(&none, post.Spread)
	require.NoError(t, err)
	for i, pr := range Priors() {
		require.InDelta(t, pr.Mean, bare.Mean[i], 1e-9, pr.Trait)
		require.InDelta(t, pr.SD, math.Sqrt(bare.Cov.At(i, i)), 1e-9, pr.Trait)
	}
}

func TestEveryPriorHasItsReason(t *testing.T) {
	require.Len(t, Priors(), int(advisor.NumTraits))
	for _, pr := range Priors() {
		require.NotEmpty(t, pr.Reason, pr.Trait)
		require.Positive(t, pr.SD, pr.Trait)
	}
}

func TestAFindingThatCannotBeReadIsNamed(t *testing.T) {
	findings := []advisor.Finding{{ID: "X-1", Use: advisor.UseFit}}
	_, err := Read(findings, ByLift)
	require.ErrorContains(t, err, "X-1")
}
