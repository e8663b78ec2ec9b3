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

// Estimate is a probability with its 80 % range, all in [0, 1].
type Estimate struct {
	P    float64 `json:"p"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// Gain is the chance to be alive sent down less that let go at the top, within one and
// the same fish, with its 80 % range: between −1 and 1, mostly 0 to 0.6. It is nil or
// negative where a fish gets down by itself, for the weight costs it a minute. The range
// is that of what one more study of such fish would find, and narrower than the
// difference of the two ranges, because both ways share most of what is not known.
type Gain struct {
	P    float64 `json:"p"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// LittleGain is the gain under which it makes little difference how the fish is let go.
const LittleGain = 0.1

// Little is true when sending down makes little difference either way.
func (g Gain) Little() bool { return g.P < LittleGain }

// Survival is the chance to be alive, by the way the fish is released.
type Survival struct {
	Surface      Estimate
	Vented       Estimate
	Recompressed Estimate
	// Gain is what sending this fish down adds to its chance.
	Gain Gain
	// Basis says on what the estimate rests.
	Basis Basis
}

// Basis is the evidence behind an estimate.
type Basis struct {
	// Level is "species", "group" or "general".
	Level string
	// Studies, Fish and Dives count what stands behind that level, as the fit weighs it:
	// fish whose life or death was followed, and fish only seen to get down or not.
	Studies, Fish, Dives int
	// DeeperThanSeen is true when the depth is outside what was studied at that level.
	DeeperThanSeen bool
	// NoGainShown is true when a study of this species looked for a gain from sending
	// down and found none.
	NoGainShown bool
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
	// ReleaseDepthM is how deep to take the fish before it is freed, in metres: its own
	// depth, or the deepest that is asked for. EnoughDepthM is the least that helps, where
	// line or current allow no more.
	ReleaseDepthM, EnoughDepthM *float64
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
	// MayHang is true when the weights are lighter than the upper end of the lift: the fish
	// may hang, and is to be held and given more lead.
	MayHang bool
	// NeutralDepthM is the depth at which the fish alone floats no more, in metres.
	NeutralDepthM *float64
	// DescentS is the time to ReleaseDepthM in seconds, DescentRangeS its band.
	DescentS      *float64
	DescentRangeS []float64
	// Survival is nil when no depth is known.
	Survival *Survival
	// Gain is what sending down adds to the chance to live; nil when no depth is known, and
	// for a fish without trapped gas, for which it is no question.
	Gain *Gain

	// AboardOz are the release weights that were taken to be aboard, in ounces.
	AboardOz []float64
	// WeightKg is the weight that the reckoning used, given or worked out.
	WeightKg float64
	// Species is the catalogue entry that the reckoning used; the general
	// closed-bladder bottom fish when the name is not known.
	Species *Species

	// Practice is the agency's that the decision followed; nil for our own.
	Practice *Practice

	Reasons  []Note
	Cautions []Note
	Assumed  []Note
}
