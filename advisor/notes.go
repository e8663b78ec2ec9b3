package advisor

// NoteCode names one thing that an advice may tell. Package bot has a sentence
// for each in every language; the comment says which figures and words go with it.
type NoteCode string

// Why the advice is what it is.
const (
	// ReasonNoBladder: Words[0], the species, has no gas bladder to swell.
	ReasonNoBladder NoteCode = "reason.no_bladder"
	// ReasonOpenBladder: the bladder of Words[0] has a duct, gas can get out.
	ReasonOpenBladder NoteCode = "reason.open_bladder"
	// ReasonShallow: Figures[0] m is above the depth where signs begin.
	ReasonShallow NoteCode = "reason.shallow"
	// ReasonShallowStrong: from Figures[0] m, strong and without signs.
	ReasonShallowStrong NoteCode = "reason.shallow_strong"
	// ReasonStrong: from Figures[0] m, strong; nobody told of signs.
	ReasonStrong NoteCode = "reason.strong"
	// ReasonNoSigns: from Figures[0] m, looked at and without signs, as the agency asks.
	ReasonNoSigns NoteCode = "reason.no_signs"
	// ReasonLook: nobody told how it swims, and strong and without signs it would be let go.
	ReasonLook NoteCode = "reason.look"
	// ReasonDeep: from Figures[0] m, where gas grows Figures[1]-fold on the way up.
	ReasonDeep NoteCode = "reason.deep"
	// ReasonSigns: it shows barotrauma.
	ReasonSigns NoteCode = "reason.signs"
	// ReasonFloating: it floats and cannot get down by itself.
	ReasonFloating NoteCode = "reason.floating"
	// ReasonWeak: it is too weak to swim down.
	ReasonWeak NoteCode = "reason.weak"
	// ReasonVentsItself: Words[0] has a closed bladder and lets its gas out by itself.
	ReasonVentsItself NoteCode = "reason.vents_itself"
	// ReasonNeverTouch: its venom can kill: it is cut free, and no weight is put on it.
	ReasonNeverTouch NoteCode = "reason.never_touch"
	// ReasonPractice: the decision follows the agency Words[0] (Words[2] in full), its page of
	// Words[1], a year.
	ReasonPractice NoteCode = "reason.practice"
	// ReasonLittleGain: sending it down makes little difference.
	ReasonLittleGain NoteCode = "reason.little_gain"
	// ReasonNoBenefit: studies of Words[0] showed no gain from sending down.
	ReasonNoBenefit NoteCode = "reason.no_benefit"
	// ReasonPhysicsMore: the physics wants Figures[0] oz, common practice Figures[1] oz.
	ReasonPhysicsMore NoteCode = "reason.physics_more"
	// ReasonTwoWeights: use the weights together, Figures[0] oz in all.
	ReasonTwoWeights NoteCode = "reason.two_weights"
	// ReasonPushDown: push the fish to Figures[0] m first, there Figures[1] oz takes over.
	ReasonPushDown NoteCode = "reason.push_down"
	// ReasonBelowPractice: aboard is less than the Figures[0] oz of common practice,
	// but the physics is satisfied.
	ReasonBelowPractice NoteCode = "reason.below_practice"
	// ReasonCustomFarMore: custom names Figures[0] oz where physics asks for Figures[1] oz.
	ReasonCustomFarMore NoteCode = "reason.custom_far_more"
	// ReasonPoundForFive: one agency's rule of a pound for five gives Figures[0] oz.
	ReasonPoundForFive NoteCode = "reason.pound_for_five"
	// ReasonThinMargin: Figures[0] oz, all there is aboard, carries the fish with
	// less than the margin to spare.
	ReasonThinMargin NoteCode = "reason.thin_margin"
	// ReasonTooLight: what is aboard, Figures[1] oz, is Figures[0] oz too light for the lift.
	ReasonTooLight NoteCode = "reason.too_light"
	// ReasonNoWeight: nothing is aboard to hang on; Figures[0] oz of anything would do.
	ReasonNoWeight NoteCode = "reason.no_weight"
	// ReasonCameBack: it came up again, so that more lead and more depth are asked for.
	ReasonCameBack NoteCode = "reason.came_back"
	// ReasonLead: sinkers are used where no release weight is enough.
	ReasonLead NoteCode = "reason.lead"
	// ReasonPoorOdds: even sent down about Figures[0] of fish live (a share).
	ReasonPoorOdds NoteCode = "reason.poor_odds"
	// ReasonDead: a dead fish is not brought back.
	ReasonDead NoteCode = "reason.dead"
	// ReasonNeedDepth: without the depth nothing can be said yet.
	ReasonNeedDepth NoteCode = "reason.need_depth"
	// ReasonNoDepth: sent down for its state; the heaviest weight since no depth is known.
	ReasonNoDepth NoteCode = "reason.no_depth"
	// ReasonMixedKinds: the name fits fish with a gas bladder and fish without.
	ReasonMixedKinds NoteCode = "reason.mixed_kinds"
)

// What was seen and told that moved the odds; Words[0] is the study behind it.
const (
	// OddsFloating: fish that did not get down came back far less often.
	OddsFloating NoteCode = "odds.floating"
	// OddsStrong: fish that swim down strongly get down.
	OddsStrong NoteCode = "odds.strong"
	// OddsWeak: weak fish fail to get down more often.
	OddsWeak NoteCode = "odds.weak"
	// OddsSigns: outward signs lower the odds a little, in some kinds more.
	OddsSigns NoteCode = "odds.signs"
	// OddsDeepHook: a hook in throat or gills costs more than anything else.
	OddsDeepHook NoteCode = "odds.deep_hook"
	// OddsFoulHook: a hook outside the mouth about doubles the risk.
	OddsFoulHook NoteCode = "odds.foul_hook"
	// OddsBleeding: fish that bleed die later more often.
	OddsBleeding NoteCode = "odds.bleeding"
	// OddsMinutes: each minute out of water costs.
	OddsMinutes NoteCode = "odds.minutes"
	// OddsWarm: in warm water more die.
	OddsWarm NoteCode = "odds.warm"
	// OddsPredators: most of those that died were eaten.
	OddsPredators NoteCode = "odds.predators"
)

// What to take care of.
const (
	// CautionCutLine: the hook is deep, cut the line close to it.
	CautionCutLine NoteCode = "caution.cut_line"
	// CautionGills: torn gills seldom heal.
	CautionGills NoteCode = "caution.gills"
	// CautionStomach: what shows in the mouth is the stomach, never pierce it.
	CautionStomach NoteCode = "caution.stomach"
	// CautionIntestine: what hangs out behind is the gut, never cut it or push it in.
	CautionIntestine NoteCode = "caution.intestine"
	// CautionVentLast: venting only where no weight can be used, with training and
	// where rules allow.
	CautionVentLast NoteCode = "caution.vent_last"
	// CautionHurry: Figures[0] minutes out of water is long.
	CautionHurry NoteCode = "caution.hurry"
	// CautionPredators: take it deep and fast, or move.
	CautionPredators NoteCode = "caution.predators"
	// CautionMoveShallower: many such fish, fish shallower.
	CautionMoveShallower NoteCode = "caution.move_shallower"
	// CautionTwoPeople: a fish of Figures[0] kg takes two people.
	CautionTwoPeople NoteCode = "caution.two_people"
	// CautionHazard: Words[0] is what can hurt the hand on this species.
	CautionHazard NoteCode = "caution.hazard"
	// CautionDeadly: never touch it, cut the line.
	CautionDeadly NoteCode = "caution.deadly"
	// CautionVenom: venomous spines, keep the hand off.
	CautionVenom NoteCode = "caution.venom"
	// CautionTail: a venomous spine on the tail, cut the line.
	CautionTail NoteCode = "caution.tail"
	// CautionShock: electric shocks, cut the line.
	CautionShock NoteCode = "caution.shock"
	// CautionBite: it bites hard, keep the hand from the mouth.
	CautionBite NoteCode = "caution.bite"
	// CautionBlade: blades by the tail, hold it by the head.
	CautionBlade NoteCode = "caution.blade"
	// CautionBeak: a beak, bill or saw that stabs.
	CautionBeak NoteCode = "caution.beak"
	// CautionPuffer: it swells by itself, never pierce it.
	CautionPuffer NoteCode = "caution.puffer"
	// CautionMayHang: the weights are lighter than the upper end of the lift.
	CautionMayHang NoteCode = "caution.may_hang"
	// CautionTackle: wet hands; mind the swinging weight and its hook.
	CautionTackle NoteCode = "caution.tackle"
	// CautionWatch: keep the weight at hand and use it if the fish floats.
	CautionWatch NoteCode = "caution.watch"
	// CautionGentle: wet hands, head first, let go at once.
	CautionGentle NoteCode = "caution.gentle"
	// CautionRules: local rules come first.
	CautionRules NoteCode = "caution.rules"
)

// What was taken for granted.
const (
	// AssumedTypicalSize: no size was told, Figures[0] kg is a typical undersized Words[0].
	AssumedTypicalSize NoteCode = "assumed.typical_size"
	// AssumedFromLength: Figures[0] cm is about Figures[1] kg.
	AssumedFromLength NoteCode = "assumed.from_length"
	// AssumedShape: no length-weight relation was found for Words[0], the usual
	// shape of a fish was taken.
	AssumedShape NoteCode = "assumed.shape"
	// AssumedLengthType: the length was taken as Words[0] ("TL", "FL", "SL").
	AssumedLengthType NoteCode = "assumed.length_type"
	// AssumedSpecies: the name fits several, Words[0] was taken.
	AssumedSpecies NoteCode = "assumed.species"
	// AssumedSpelling: the name Words[0] was taken for a slip of Words[1].
	AssumedSpelling NoteCode = "assumed.spelling"
	// AssumedKind: the name Words[0] has a word that nobody knows, Words[1] was taken.
	AssumedKind NoteCode = "assumed.kind"
	// AssumedBladder: nobody knows whether the gas of Words[0] can get out, and it is
	// answered as if it could not.
	AssumedBladder NoteCode = "assumed.bladder"
	// AssumedTrapped: the kind can let its gas out, but what is seen says that this
	// one has not.
	AssumedTrapped NoteCode = "assumed.trapped"
	// AssumedGeneral: nobody knows the name Words[0], a closed-bladder bottom fish was taken.
	AssumedGeneral NoteCode = "assumed.general"
	// AssumedNoName: no fish was named, a closed-bladder bottom fish was taken.
	AssumedNoName NoteCode = "assumed.no_name"
	// AssumedDeepEnd: of the range, Figures[0] m counts.
	AssumedDeepEnd NoteCode = "assumed.deep_end"
	// AssumedWeights: Figures are the release weights taken to be aboard, in ounces.
	AssumedWeights NoteCode = "assumed.weights"
)
