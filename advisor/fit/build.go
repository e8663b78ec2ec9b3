package fit

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"

	"deepward/advisor"
)

// Built is what go generate writes.
type Built struct {
	// Model is the file that package advisor embeds, Report the page that tells how
	// it was made and how well it does.
	Model, Report []byte
	// Trial is how it did on studies left out.
	Trial Trial
}

// Build fits the model and tries it: study by study left out, and on published
// figures that it was not fitted to, read from a table.
func Build(unfitted io.Reader) (Built, error) {
	data, err := Read(advisor.Findings(), ByLift)
	if err != nil {
		return Built{}, err
	}
	post, err := Fit(data, Start())
	if err != nil {
		return Built{}, err
	}
	file, err := post.Export()
	if err != nil {
		return Built{}, err
	}
	model, err := advisor.ReadModel(file)
	if err != nil {
		return Built{}, err
	}
	figures, err := ReadFigures(unfitted)
	if err != nil {
		return Built{}, err
	}
	trial, err := Try(post)
	if err != nil {
		return Built{}, err
	}
	page := report{post: post, trial: trial, heldOut: Compare(model, figures), council: Compare(model, CouncilFigures())}
	return Built{Model: file, Report: page.write(), Trial: trial}, nil
}

// Trial is how the model and its rivals predicted studies that they had not seen.
type Trial struct {
	// Full is every row by the full model; the scores are apart for deaths and for
	// failing to submerge.
	Full                                 []Prediction
	Deaths, Submerging                   Score
	OneForAll, DepthOnly, DepthAndMethod Score
	DeathsByAmount, DeathsByDepth        Score
	SubmergingByAmount, SubmergingDepth  Score
	// Gains are the published pairs, each predicted from a fit without its studies.
	Gains []GainPrediction
	// Answers are the findings of deaths beside what would have been answered.
	Answers []Answered
	// Seen are the same by a model that has seen all of them.
	Seen []Answered
}

// Try leaves out one study after the other, for the model and for its rivals.
func Try(post *Posterior) (t Trial, err error) {
	if t.Full, err = LeaveOneOut(post); err != nil {
		return t, err
	}
	t.Deaths, t.Submerging = scores(t.Full)
	left := newLeftOut(post)
	if t.Gains, err = left.gains(); err != nil {
		return t, err
	}
	if t.Answers, err = left.answers(); err != nil {
		return t, err
	}
	if t.Seen, err = left.seen(); err != nil {
		return t, err
	}
	return t, t.rivals(post)
}

// rivals tries the other shapes of the chance to get down, and the baselines.
func (t *Trial) rivals(post *Posterior) error {
	for by, into := range map[Covariate][2]*Score{ByAmount: {&t.DeathsByAmount, &t.SubmergingByAmount}, ByDepth: {&t.DeathsByDepth, &t.SubmergingDepth}} {
		data, err := Read(advisor.Findings(), by)
		if err != nil {
			return err
		}
		other, err := FitGiven(data, post.Spread)
		if err != nil {
			return err
		}
		list, err := LeaveOneOut(other)
		if err != nil {
			return err
		}
		*into[0], *into[1] = scores(list)
	}
	for b, into := range map[Baseline]*Score{OneForAll: &t.OneForAll, DepthOnly: &t.DepthOnly, DepthAndMethod: &t.DepthAndMethod} {
		list, err := LeaveOneOutBaseline(deaths(post.Data.Rows), b)
		if err != nil {
			return err
		}
		*into = ScoreOf(list)
	}
	return nil
}

func deaths(rows []Row) (out []Row) {
	for _, r := range rows {
		if !r.Proxy {
			out = append(out, r)
		}
	}
	return out
}

func scores(list []Prediction) (deaths, submerging Score) {
	var a, b []Prediction
	for _, p := range list {
		if p.Row.Proxy {
			b = append(b, p)
		} else {
			a = append(a, p)
		}
	}
	return ScoreOf(a), ScoreOf(b)
}

// Figure is one published mortality that the model was not fitted to.
type Figure struct {
	Species              string
	DepthMinM, DepthMaxM float64
	Method               advisor.Method
	Mortality            float64
	Source, Note         string
}

// DepthM is the middle of the bin, on ln(depth).
func (f Figure) DepthM() float64 { return math.Sqrt(max(f.DepthMinM, 5) * f.DepthMaxM) }

// ReadFigures reads a table with the columns species, depth_min_m, depth_max_m,
// method, mortality, source and note.
func ReadFigures(r io.Reader) ([]Figure, error) {
	rows, err := csv.NewReader(r).ReadAll()
	if err != nil {
		return nil, err
	}
	var list []Figure
	for n, row := range rows[1:] {
		var x [3]float64
		for i, cell := range []string{row[1], row[2], row[4]} {
			if x[i], err = strconv.ParseFloat(cell, 64); err != nil {
				return nil, fmt.Errorf("unfitted figures, line %d: %w", n+2, err)
			}
		}
		list = append(list, Figure{row[0], x[0], x[1], advisor.Method(row[3]), x[2], row[5], row[7]})
	}
	return list, nil
}

// CouncilFigures are the management figures of the evidence table.
func CouncilFigures() (list []Figure) {
	for _, f := range advisor.Findings() {
		if f.Kind == "management-table" {
			list = append(list, Figure{f.Species[0], *f.DepthMinM, *f.DepthMaxM, advisor.Method(f.Method), *f.Mortality, f.ID, f.Note})
		}
	}
	return list
}

// Compared is a figure and what the model says.
type Compared struct {
	Figure
	// Ours is the mortality with its 80 % range.
	Ours   advisor.Estimate
	Inside bool
}

// Compare lays the answers of a model beside published figures.
func Compare(m *advisor.Model, figures []Figure) []Compared {
	list := make([]Compared, 0, len(figures))
	for _, f := range figures {
		s := m.Estimate(advisor.Case{Species: advisor.LookUp(f.Species), DepthM: f.DepthM()})
		alive := map[advisor.Method]advisor.Estimate{advisor.Surface: s.Surface, advisor.Vented: s.Vented, advisor.Recompressed: s.Recompressed}[f.Method]
		dead := advisor.Estimate{P: 1 - alive.P, Low: 1 - alive.High, High: 1 - alive.Low}
		list = append(list, Compared{f, dead, dead.Low <= f.Mortality && f.Mortality <= dead.High})
	}
	return list
}

// Agreement is the share of figures inside the range, and the mean absolute difference.
func Agreement(list []Compared) (inside, difference float64) {
	for _, c := range list {
		if c.Inside {
			inside++
		}
		difference += math.Abs(c.Ours.P - c.Mortality)
	}
	n := float64(len(list))
	return inside / n, difference / n
}
