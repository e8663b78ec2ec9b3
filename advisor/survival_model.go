package advisor

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"math"
	"sync"

	"deepward/advisor/packed"
)

//go:generate go run ./fit/fitsurvival
//go:generate go run ./pack data/survival_model.json

// The file data/survival_model.json is written by go generate and read at the first
// question. It holds sums and differences of a few hundred numbers that only change
// when the evidence table or a prior does; a test runs the fit again and compares.

// Fitted is the file that the fit writes: what the findings say of the parameters.
type Fitted struct {
	// About says what it is, To what it was fitted.
	About string   `json:"about"`
	To    FittedTo `json:"fitted_to"`
	// Spread are the standard deviations of what is pooled.
	Spread FittedSpread `json:"spread"`
	// Names are the parameters: a trait, or "kin NAME TRAIT", "species NAME TRAIT".
	Names []string  `json:"names"`
	Means []float64 `json:"means"`
	// Covariance is the lower triangle, row by row.
	Covariance [][]float64 `json:"covariance"`
}

// FittedTo counts what the model was fitted to, as it was weighed: Fish whose death was
// looked for and Dives, fish only seen to get down or not.
type FittedTo struct {
	Findings int      `json:"findings"`
	Pairs    int      `json:"pairs"`
	Studies  int      `json:"studies"`
	Fish     int      `json:"fish"`
	Dives    int      `json:"dives"`
	IDs      []string `json:"ids"`
}

// FittedSpread are standard deviations on the logit scale.
type FittedSpread struct {
	KinBarotrauma     float64 `json:"kin_barotrauma"`
	SpeciesBarotrauma float64 `json:"species_barotrauma"`
	SpeciesSlope      float64 `json:"species_slope"`
	KinFloat          float64 `json:"kin_float"`
	SpeciesFloat      float64 `json:"species_float"`
	Study             float64 `json:"study"`
	// StudyAhead is what Study is taken to be for a study not yet made: widened, so
	// that ranges hold on studies left out.
	StudyAhead float64 `json:"study_ahead"`
	// StudyFloat is how studies differ in how many get down, StudyFloatAhead the same
	// for one not yet made.
	StudyFloat      float64 `json:"study_float"`
	StudyFloatAhead float64 `json:"study_float_ahead"`
}

//go:embed data/survival_model.json.gz
var survivalGzip []byte

// Model is the fitted survival model: what the findings say of its parameters and
// how sure they are of them. It is read only and safe to share.
//
// Its parameters are the traits of closed-bladder fish at large and the effects of
// kin and species that are added to them. How studies differ is in it as a spread
// only: a question asked tomorrow comes from none of the studies.
type Model struct {
	fitted Fitted
	// at finds a parameter by name; cov is full and symmetric, chol its factor.
	at   map[string]int
	cov  [][]float64
	chol func() [][]float64
	// kinds are by scientific name, kins for a species that is in no catalogue, by
	// the name of its kin; noGas is every fish without trapped gas. Each is worked out
	// when it is first asked for.
	kinds map[string]func() *kindModel
	kins  map[string]func() *kindModel
	noGas func() *kindModel
}

// Posterior returns the survival model that is built in.
var Posterior = sync.OnceValue(func() *Model {
	m, err := ReadModel(packed.Open(survivalGzip))
	if err != nil {
		panic("advisor: embedded survival model: " + err.Error())
	}
	return m
})

// ReadModel reads a model from the file that the fit writes. The error says what
// does not fit together in it; a file written by the fit has none.
func ReadModel(file []byte) (*Model, error) {
	m := &Model{at: map[string]int{}, kinds: map[string]func() *kindModel{}, kins: map[string]func() *kindModel{}}
	if err := json.Unmarshal(file, &m.fitted); err != nil {
		return nil, err
	}
	n := len(m.fitted.Names)
	if n < int(NumTraits) || len(m.fitted.Means) != n || len(m.fitted.Covariance) != n {
		return nil, fmt.Errorf("%d names, %d means, %d rows of covariance", n, len(m.fitted.Means), len(m.fitted.Covariance))
	}
	m.cov = make([][]float64, n)
	for i, row := range m.fitted.Covariance {
		m.at[m.fitted.Names[i]] = i
		m.cov[i] = make([]float64, n)
		for j, v := range row[:i+1] {
			m.cov[i][j], m.cov[j][i] = v, v
		}
	}
	// Only the season report draws from the whole; an answer never needs the factor.
	m.chol = sync.OnceValue(func() [][]float64 { return cholesky(m.cov) })
	m.prepare()
	return m, nil
}

// Fitted returns the file that the model was read from.
func (m *Model) Fitted() Fitted { return m.fitted }

// prepare says how to work out what answers need: one small set of means and
// covariances for each species, for each kin, and for fish without trapped gas.
func (m *Model) prepare() {
	for _, s := range Catalogue() {
		if !s.trapsGas() {
			continue
		}
		kin := s.Kin().Name
		m.kinds[s.ScientificName] = m.later(kindName{s.ScientificName, kin, s.VentsItself()}, s.Gas, s)
		if m.kins[kin] == nil {
			any := &Species{Family: s.Family, Bladder: BladderClosed}
			m.kins[kin] = m.later(kindName{"", kin, any.VentsItself()}, s.Gas, any)
		}
	}
	m.kins[""] = m.later(kindName{}, General().Gas, General())
	m.noGas = m.later(kindName{}, func() Gas { return Gas{} }, &Species{Bladder: BladderNone})
}

// later is a kind's model, worked out at the first question about it.
func (m *Model) later(name kindName, gas func() Gas, standsOn *Species) func() *kindModel {
	return sync.OnceValue(func() *kindModel { return m.kindModel(name, gas(), basisOf(standsOn)) })
}

// kind returns what the model knows of a species; nil stands for the general fish.
// A species made up by a test or read from an old log, and not in the catalogue,
// is answered as one of its kin that nobody studied.
func (m *Model) kind(s *Species) *kindModel {
	switch {
	case s == nil:
		return m.kins[""]()
	case !s.trapsGas():
		return m.noGas()
	}
	if k, ok := m.kinds[s.ScientificName]; ok {
		return k()
	}
	if k, ok := m.kins[s.Kin().Name]; ok {
		return k()
	}
	return m.kins[""]()
}

// The trait of a kin or species effect, as the names of the file have it.
const (
	effectBarotrauma = "barotrauma"
	effectSlope      = "slope"
	effectFloat      = "float"
)

// effects are the three effects that differ between kinds, with the trait each
// adds to and the spreads of a kin or species that was not studied.
func (f *FittedSpread) effects() [3]effect {
	return [3]effect{
		{effectBarotrauma, TraitBarotrauma, f.KinBarotrauma, f.SpeciesBarotrauma},
		{effectSlope, TraitSlope, 0, f.SpeciesSlope},
		{effectFloat, TraitFloat, f.KinFloat, f.SpeciesFloat},
	}
}

// effect is one way in which kinds differ. kinSpread and speciesFree are what is not
// known of a kin, or a species, that no finding bears on.
type effect struct {
	name                   string
	trait                  Trait
	kinSpread, speciesFree float64
}

// KinEffect names the parameter of one kin in the file: "kin rockfish float".
func KinEffect(kin, trait string) string { return "kin " + kin + " " + trait }

// SpeciesEffect names the parameter of one species in the file:
// "species Sebastes pinniger slope".
func SpeciesEffect(species, trait string) string { return "species " + species + " " + trait }

// part is one parameter that a trait of a kind is the sum of, and how much of it.
type part struct {
	at    int
	share float64
}

// parts lists the parameters that add up to one trait of a kind, and the variance
// of those that were not studied.
func (m *Model) parts(t Trait, k kindName) (parts []part, free float64) {
	parts = []part{{int(t), 1}}
	if t == TraitFloat && k.vents > 0 {
		parts = append(parts, part{int(TraitVents), k.vents})
	}
	for _, e := range m.fitted.Spread.effects() {
		if e.trait != t {
			continue
		}
		if i, ok := m.at[KinEffect(k.kin, e.name)]; ok {
			parts = append(parts, part{i, 1})
		} else {
			free += e.kinSpread * e.kinSpread
		}
		if i, ok := m.at[SpeciesEffect(k.species, e.name)]; ok {
			parts = append(parts, part{i, 1})
		} else {
			free += e.speciesFree * e.speciesFree
		}
	}
	return parts, free
}

// cholesky factors a covariance A = L·Lᵀ into its lower triangle, with a grain put
// in where rounding in the file has made it fall short of positive. It stands here
// so that the core needs no linear algebra from outside; the fit uses gonum's.
func cholesky(cov [][]float64) [][]float64 {
	l := make([][]float64, len(cov))
	for i := range cov {
		l[i] = make([]float64, i+1)
		for j := 0; j <= i; j++ {
			sum := cov[i][j]
			for k := range j {
				sum -= l[i][k] * l[j][k]
			}
			if i == j {
				l[i][i] = math.Sqrt(max(sum, 1e-9))
			} else {
				l[i][j] = sum / l[j][j]
			}
		}
	}
	return l
}
