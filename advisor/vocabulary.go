package advisor

// The closed vocabulary: what is told of a fish besides figures, one table a kind. Each
// value has words that say it (words in), a wording in each language, and its name in
// exports and imports; a test walks them all.

// Sign is one outward sign of barotrauma, by the name used in data.
type Sign string

// The signs of barotrauma that an angler can see.
const (
	BloatedBelly       Sign = "bloated_belly"
	BulgingEyes        Sign = "bulging_eyes"
	EvertedStomach     Sign = "everted_stomach"
	ProlapsedIntestine Sign = "prolapsed_intestine"
	SkinBubbles        Sign = "skin_bubbles"
)

// Signs lists every sign in the order in which replies name them.
var Signs = [...]Sign{BloatedBelly, BulgingEyes, EvertedStomach, ProlapsedIntestine, SkinBubbles}

// Hook is the place where the hook sits; "" when not told.
type Hook string

// The hook positions, by the names used in data.
const (
	HookLip   Hook = "lip"
	HookMouth Hook = "mouth"
	HookGut   Hook = "gut"
	HookGill  Hook = "gill"
	HookFoul  Hook = "foul"
)

// Hooks lists every position of the hook.
var Hooks = [...]Hook{HookLip, HookMouth, HookGut, HookGill, HookFoul}

// Behaviour is how the fish acts at the surface; "" when not told.
type Behaviour string

// The behaviours at the surface, by the names used in data.
const (
	Strong   Behaviour = "strong"
	Weak     Behaviour = "weak"
	Floating Behaviour = "floating"
	Dead     Behaviour = "dead"
)

// Behaviours lists every behaviour, the liveliest first.
var Behaviours = [...]Behaviour{Strong, Weak, Floating, Dead}

// Method is how a fish was released, by the name used in data.
type Method string

// The release methods.
const (
	Recompressed Method = "recompressed"
	Surface      Method = "surface"
	Vented       Method = "vented"
	Kept         Method = "kept"
)

// Methods lists the ways a fish leaves the boat, in the order in which they are told; the
// last one is no release.
var Methods = [...]Method{Recompressed, Surface, Vented, Kept}

// Outcome is what was seen of the fish when it was freed; "" when not told.
type Outcome string

// The outcomes at release, by the names used in data.
const (
	SwamDown      Outcome = "swam_down"
	SwamAtSurface Outcome = "swam_at_surface"
	FloatedOff    Outcome = "floated"
	TakenByOther  Outcome = "taken"
	NotSeen       Outcome = "not_seen"
	Died          Outcome = "died"
)

// Outcomes lists every outcome.
var Outcomes = [...]Outcome{SwamDown, SwamAtSurface, FloatedOff, TakenByOther, NotSeen, Died}

// LengthType says how a length was measured; "" when not told.
type LengthType string

// The ways in which a fish is measured.
const (
	TotalLength    LengthType = "TL"
	ForkLength     LengthType = "FL"
	StandardLength LengthType = "SL"
)

// LengthTypes lists the ways in which a fish is measured.
var LengthTypes = [...]LengthType{TotalLength, ForkLength, StandardLength}

// MarshalJSON writes null for a length that was not told how it was measured.
func (t LengthType) MarshalJSON() ([]byte, error) {
	if t == "" {
		return []byte("null"), nil
	}
	return []byte(`"` + t + `"`), nil
}
