package report

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"time"

	"deepward/advisor"
	"deepward/store/season"
)

// datasheet holds all figures of the page, unrounded, for programs: depths in metres,
// lengths in cm, proportions in [0, 1]. A figure that does not apply, or is without
// end, is null.
type datasheet struct {
	From     day            `json:"from"`
	To       day            `json:"to"`
	Reports  int            `json:"reports"`
	Invented int            `json:"invented"`
	Released int            `json:"released"`
	Anglers  int            `json:"anglers"`
	Methods  []outcomes     `json:"methods"`
	Species  []group        `json:"species"`
	Depths   []group        `json:"depths"`
	Months   []group        `json:"months"`
	Alive    *alive         `json:"alive_because_sent_down"`
	Boat     []comparison   `json:"not_gone_down_at_the_boat"`
	Tags     tags           `json:"tags"`
	Doubts   map[string]int `json:"doubts"`
	LeftOut  []left         `json:"left_out"`
}

// number is a figure; null where there is none.
type number float64

// MarshalJSON makes number a json.Marshaler.
func (n number) MarshalJSON() ([]byte, error) {
	x := float64(n)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return []byte("null"), nil
	}
	return strconv.AppendFloat(nil, x, 'g', -1, 64), nil
}

// day is a date, "2026-05-31"; null where there is none.
type day time.Time

// MarshalJSON makes day a json.Marshaler.
func (d day) MarshalJSON() ([]byte, error) {
	if time.Time(d).IsZero() {
		return []byte("null"), nil
	}
	return json.Marshal(time.Time(d).Format(time.DateOnly))
}

type outcomes struct {
	Method    advisor.Method `json:"method"`
	Fish      int            `json:"fish"`
	Watched   int            `json:"watched"`
	WentDown  int            `json:"went_down"`
	AtSurface int            `json:"stayed_at_surface"`
	Floated   int            `json:"floated_off"`
	Taken     int            `json:"taken"`
	Died      int            `json:"died"`
}

// group is the fish of one species, depth band or month.
type group struct {
	Species  *string                `json:"species,omitempty"`
	Band     *band                  `json:"depth_m,omitempty"`
	Month    string                 `json:"month,omitempty"`
	Released int                    `json:"released"`
	Methods  map[advisor.Method]int `json:"methods"`
}

// band is above its first depth, up to and with its second.
type band [2]number

type alive struct {
	Fish       int    `json:"fish_sent_down"`
	More       number `json:"more"`
	Low        number `json:"low"`
	High       number `json:"high"`
	Range      number `json:"range"` // the share of the draws in it
	ShareAtTop number `json:"would_live_at_top"`
	ShareDown  number `json:"live_sent_down"`
	Gain       span   `json:"gain_range"` // of the difference, as range
}

type tags struct {
	MinDays  int                  `json:"min_days"`
	CutOff   day                  `json:"cut_off"`
	Fish     int                  `json:"fish_tagged"`
	Followed int                  `json:"seen_in_later_reports"`
	Counted  recaptures           `json:"counted"`
	All      recaptures           `json:"all"`
	Days     spread               `json:"days_at_liberty"`
	Growth   spread               `json:"growth_cm"`
	Over     spread               `json:"growth_days"`
	Moves    []move               `json:"cells_apart"`
	Faults   map[season.Fault]int `json:"impossible"`
}

type recaptures struct {
	Rates       []share      `json:"rates"`
	Comparisons []comparison `json:"comparisons"`
	Trends      []trend      `json:"trends_with_depth"`
	Logistic    logistic     `json:"logistic"`
	Held        held         `json:"held"`
}

// held are the models within months of release, with days as clusters.
type held struct {
	Logistic weighed `json:"logistic"`
	Cox      weighed `json:"cox"`
	Undated  int     `json:"seen_on_no_known_day"`
}

type weighed struct {
	Fish    int          `json:"fish"`
	Seen    int          `json:"seen"`
	Days    int          `json:"days"`
	Months  int          `json:"months"`
	Effects []pairEffect `json:"effects"`
}

type pairEffect struct {
	A     advisor.Method `json:"a,omitempty"`
	B     advisor.Method `json:"b,omitempty"` // none of both: 10 m more depth
	Value number         `json:"value"`
	Range span           `json:"range"`
	P     number         `json:"p"`
}

// share is x of n with its intervals.
type share struct {
	Method         advisor.Method `json:"method,omitempty"`
	X              int            `json:"x"`
	N              int            `json:"n"`
	Rate           number         `json:"rate"`
	Wilson         *span          `json:"wilson,omitempty"`
	Corrected      *span          `json:"wilson_corrected,omitempty"`
	Jeffreys       *span          `json:"jeffreys,omitempty"`
	AgrestiCoull   *span          `json:"agresti_coull,omitempty"`
	ClopperPearson *span          `json:"clopper_pearson,omitempty"`
	MidP           *span          `json:"mid_p,omitempty"`
}

// span is an interval, for 95 % unless it says otherwise.
type span [2]number

type comparison struct {
	A          share          `json:"a"`
	B          share          `json:"b"`
	Says       season.Verdict `json:"says"`
	Ratio      number         `json:"ratio"`
	Koopman    span           `json:"koopman"`
	Katz       span           `json:"katz"`
	Difference number         `json:"difference"`
	Newcombe   span           `json:"newcombe"`
	Fisher     number         `json:"fisher_p"`
	X2         number         `json:"pearson_x2"`
	X2P        number         `json:"pearson_p"`
	Depth      adjusted       `json:"within_depth_bands"`
	Species    adjusted       `json:"within_depth_bands_of_one_species"`
	Months     adjusted       `json:"within_depth_and_month"`
	HolmP      number         `json:"holm_p"`
}

type adjusted struct {
	Strata     []stratum `json:"strata,omitempty"`
	Used       int       `json:"strata_used"`
	Skipped    int       `json:"strata_skipped"`
	Fish       int       `json:"fish"`
	Ratio      pooled    `json:"mantel_haenszel_ratio"`
	Odds       pooled    `json:"mantel_haenszel_odds_ratio"`
	Difference pooled    `json:"mantel_haenszel_difference"`
	X2         number    `json:"cmh_x2"`
	P          number    `json:"cmh_p"`
	Corrected  number    `json:"cmh_corrected_x2"`
	CorrectedP number    `json:"cmh_corrected_p"`
	BreslowDay number    `json:"breslow_day_x2"`
	EvenP      number    `json:"breslow_day_p"`
	Tarone     number    `json:"tarone_x2"`
	TaroneP    number    `json:"tarone_p"`
}

type stratum struct {
	Band band  `json:"depth_m"`
	A    share `json:"a"`
	B    share `json:"b"`
}

type pooled struct {
	Value number `json:"value"`
	Range span   `json:"range"`
	SE    number `json:"se"`
}

type trend struct {
	Method advisor.Method `json:"method"` // "" for all together
	Z      number         `json:"z"`
	P      number         `json:"p"`
	Slope  number         `json:"slope_per_m"`
	M2     number         `json:"mantel_m2"`
	Bands  []scored       `json:"bands"`
}

type scored struct {
	ScoreM float64 `json:"score_m"`
	X      int     `json:"x"`
	N      int     `json:"n"`
}

type logistic struct {
	Fish    int            `json:"fish"`
	Against advisor.Method `json:"against"`
	Effects []effect       `json:"odds_ratios"`
}

type effect struct {
	Of    string `json:"of"` // a method, or "10 m more depth"
	Odds  number `json:"value"`
	Range span   `json:"range"`
	P     number `json:"p"`
}

type spread struct {
	N      int    `json:"n"`
	Least  number `json:"least"`
	Lower  number `json:"lower_quartile"`
	Middle number `json:"median"`
	Upper  number `json:"upper_quartile"`
	Most   number `json:"most"`
	Mean   number `json:"mean"`
}

// move is how many fish were seen again so many 0.1° cells away; no number of fish
// where so few could lead to somebody's mark, and no end to the last.
type move struct {
	From int  `json:"from_cells"`
	To   *int `json:"to_cells"`
	Fish *int `json:"fish"`
}

type left struct {
	Why  season.Reason `json:"why"`
	Fish int           `json:"fish"`
}

// WriteJSON writes all figures of the page, unrounded, as one object on one line.
func (r *Report) WriteJSON(w io.Writer) error {
	line, err := json.Marshal(r.datasheet())
	if err != nil {
		return fmt.Errorf("writing the figures: %w", err)
	}
	_, err = w.Write(append(line, '\n'))
	return err
}
