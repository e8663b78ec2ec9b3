package advisor

// Action is what to do with the fish.
type Action string

// The actions, by the names used in data.
const (
	// ActSurface: let go at the top, no weight.
	ActSurface Action = "surface"
	// ActRecompress: send down on a release weight.
	ActRecompress Action = "recompress"
	// ActNone: nothing can be said yet.
	ActNone Action = "none"
)

// Method is how a fish was released, by the name used in data.
type Method string

// The release methods.
const (
	Surface      Method = "surface"
	Vented       Method = "vented"
	Recompressed Method = "recompressed"
	Kept         Method = "kept"
)

// Estimate is a probability with its 80 % range, all in [0, 1].
type Estimate struct {
	P    float64 `json:"p"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// Survival is the chance to be alive, by the way the fish is released.
type Survival struct {
	Surface      Estimate
	Vented       Estimate
	Recompressed Estimate
	// Benefit is recompressed minus surface, in points of probability, with its
	// own 80 % range: it is narrower than the difference of the two ranges,
	// because both share what is not known about the fish.
	Benefit Estimate
	// Basis says on what the estimate rests.
	Basis Basis
}

// Basis is the evidence behind an estimate.
type Basis struct {
	// Level is "species", "group" or "general".
	Level string
	// Studies and Fish count what stands behind that level.
	Studies, Fish int
	// DeeperThanSeen is true when the depth is outside what was studied at that level.
	DeeperThanSeen bool
	// NoBenefitShown is true when studies of this species looked for a benefit
	// of sending down and found none.
	NoBenefitShown bool
	// Sources are short citations of the studies, most fish first.
	Sources []string
}

// Note is one thing to tell, as a code and figures; package bot words it in the
// reader's language. The codes are listed in notes.go.
type Note struct {
	Code    NoteCode
	Figures []float64
	// Words are names to be put in as they are (a spine, a species name).
	Words []string
}

// Advice is the answer to one Query. A nil figure does not apply.
type Advice struct {
	Action Action
	// ReleaseWeightOz is the heaviest single release weight to use, in ounces of lead.
	ReleaseWeightOz *float64
	// ReleaseWeightsOz are all the release weights to use together, heaviest first.
	ReleaseWeightsOz []float64
	// ReleaseDepthM is how deep to take the fish before it is freed, in metres.
	ReleaseDepthM *float64
	// LiftGf is the lift of the fish at the surface in gram-force, LiftRangeGf its
	// low and high end over what is not known about the gas.
	LiftGf      *float64
	LiftRangeGf []float64
	// NeededOz is the lead that the physics asks for, in ounces, margin included.
	NeededOz *float64
	// PracticeOz is the weight that common practice names, in ounces.
	PracticeOz *float64
	// PushDownDepthM is how deep the fish must be pushed before the heaviest single
	// weight takes over, in metres; nil when that weight is enough from the top.
	PushDownDepthM *float64
	// NeutralDepthM is the depth at which the fish alone floats no more, in metres.
	NeutralDepthM *float64
	// DescentS is the time to ReleaseDepthM in seconds, DescentRangeS its band.
	DescentS      *float64
	DescentRangeS []float64
	// Survival is nil when no depth is known.
	Survival *Survival

	// AboardOz are the release weights that were taken to be aboard, in ounces.
	AboardOz []float64
	// WeightKg is the weight that the reckoning used, given or worked out.
	WeightKg float64
	// Species is the catalogue entry that the reckoning used; the general
	// closed-bladder bottom fish when the name is not known.
	Species *Species

	Reasons  []Note
	Cautions []Note
	Assumed  []Note
}
