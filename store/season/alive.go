package season

import (
	"cmp"
	"maps"
	"math"
	"math/rand/v2"
	"slices"

	"deepward/advisor"
	"deepward/store/catch"
)

// Alive is how many fish are alive because they were sent down, against all of them
// let go at the top.
type Alive struct {
	// Fish were sent down and could be reckoned.
	Fish int
	// More is the middle of the draws, Low and High their middle AliveRange: of how
	// many more fish live.
	More, Low, High float64
	// TopShare of these fish would live had they been let go at the top, DownShare
	// sent down: means over the draws, in [0, 1]. GainLow and GainHigh are the middle
	// AliveRange of the difference, chance over few fish apart.
	TopShare, DownShare, GainLow, GainHigh float64
}

// Gain is the share of the fish that live because they were sent down.
func (a Alive) Gain() float64 { return a.DownShare - a.TopShare }

// OfHundred splits a hundred fish like these, sent down: those that would have lived
// anyway, those that live because they were sent down, and those that die all the
// same. The three add up to a hundred.
func (a Alive) OfHundred() (lived, saved, died int) {
	saved, died = int(math.Round(100*a.Gain())), int(math.Round(100*(1-a.DownShare)))
	return 100 - saved - died, saved, died
}

// Rough rounds a number of fish that was reckoned, not counted, to two figures: more
// would claim too much.
func Rough(fish float64) float64 {
	if fish < 100 {
		return math.Round(fish)
	}
	step := math.Pow(10, math.Floor(math.Log10(fish))-1)
	return math.Round(fish/step) * step
}

// AliveRange is the share of the draws between Alive.Low and Alive.High.
const AliveRange = 0.80

// How many times the survival model is drawn: the ends of the range are then good to
// about a tenth of its width, or a fifth where the fish are so many kinds that more
// draws would take long.
const (
	mostDraws  = 400
	leastDraws = 100
	mostWork   = 600_000 // draws of one class
)

func drawsFor(classes int) int {
	return max(leastDraws, min(mostDraws, mostWork/max(1, classes)))
}

// class is fish so alike that they share their odds. Size is not in it: in the
// survival model the lift of a fish is taken relative to the same fish from 50 m, so
// that its size cancels (a test watches over that).
type class struct {
	species             string
	depth               int // in steps of ln(depth in m)
	hook                advisor.Hook
	behaviour           advisor.Behaviour
	sign                advisor.Sign // one that moves the odds stands for all that do
	bleeding, predators bool
	minutes, warmness   int
}

// classes count the fish that were sent down.
type classes map[class]int

// add takes in a fish that was sent down. What became of it at the boat is not used:
// the odds already hold such deaths.
func (c classes) add(r *catch.Report, left leftOut) {
	switch {
	case r.Method != advisor.Recompressed:
	case r.DepthM == nil:
		left.add(OutNoDepth, 1)
	case r.Behaviour == advisor.Dead:
		left.add(OutDead, 1)
	default:
		c[classOf(r)]++
	}
}

// The steps in which what was told is classed: the odds move little within one.
const (
	depthStepLn  = 0.08
	shallowestM  = 1
	minutesStep  = 4.0
	minutesFrom  = 2.0 // fewer minutes change nothing
	minutesSteps = 7   // nor do more than 30
	warmStepC    = 2.0
	warmFromC    = 22.0
	warmSteps    = 5
)

func classOf(r *catch.Report) class {
	c := class{
		species: r.Species, depth: int(math.Round(math.Log(max(*r.DepthM, shallowestM)) / depthStepLn)), bleeding: r.Bleeding,
		behaviour: r.Behaviour, sign: tellingSign(r.Signs), predators: r.Predators,
		minutes: steps(r.MinutesOnDeck, minutesFrom, minutesStep, minutesSteps), warmness: steps(r.SurfaceTempC, warmFromC, warmStepC, warmSteps),
	}
	if r.Hook != advisor.HookLip && r.Hook != advisor.HookMouth { // these are what was studied
		c.hook = r.Hook
	}
	return c
}

// tellingSign is a sign of those seen that moves the odds, "" if there is none.
func tellingSign(seen []advisor.Sign) advisor.Sign {
	for _, s := range seen {
		if s.MovesOdds() {
			return advisor.EvertedStomach
		}
	}
	return ""
}

// steps is how many steps a figure lies beyond the start, at most so many.
func steps(x *float64, from, step float64, most int) int {
	if x == nil || !(*x > from) {
		return 0
	}
	return int(min(math.Round((*x-from)/step), float64(most)))
}

// asCase is the fish that stands for the class.
func (c class) asCase() advisor.Case {
	fish := advisor.Case{
		Species: advisor.LookUp(c.species), DepthM: math.Exp(float64(c.depth) * depthStepLn), Hook: c.hook,
		Bleeding: c.bleeding, Predators: c.predators, Behaviour: c.behaviour,
	}
	if c.sign != "" {
		fish.Signs = []advisor.Sign{c.sign}
	}
	if c.minutes > 0 {
		fish.MinutesOnDeck = new(minutesFrom + float64(c.minutes)*minutesStep)
	}
	if c.warmness > 0 {
		fish.SurfaceTempC = new(warmFromC + float64(c.warmness)*warmStepC)
	}
	return fish
}

func (c class) compare(o class) int {
	return cmp.Or(
		cmp.Compare(c.species, o.species), cmp.Compare(c.depth, o.depth), cmp.Compare(c.hook, o.hook),
		cmp.Compare(number(c.bleeding), number(o.bleeding)), cmp.Compare(c.behaviour, o.behaviour), cmp.Compare(c.sign, o.sign),
		cmp.Compare(number(c.predators), number(o.predators)), cmp.Compare(c.minutes, o.minutes), cmp.Compare(c.warmness, o.warmness),
	)
}

// simulate draws the survival model again and again. Within one draw all fish share
// what is not known of the model, of their kind, and of how this water differs from
// the studied ones, so that the errors do not cancel out over many fish; then chance
// decides for each fish whether being sent down was what saved it.
func (c classes) simulate(seed uint64) Alive {
	keys := slices.SortedFunc(maps.Keys(c), class.compare)
	lots := make([]lot, len(keys))
	var a Alive
	for i, k := range keys {
		lots[i] = lot{k.asCase(), float64(c[k])}
		a.Fish += c[k]
	}
	if a.Fish == 0 {
		return a
	}
	rng := rand.New(rand.NewPCG(seed, 0xa11fe))
	n := drawsFor(len(lots))
	saved, gains := make([]float64, n), make([]float64, n)
	for i := range saved {
		var top, down float64
		top, down, saved[i] = draw(lots, advisor.Posterior().Sample(rng), rng)
		a.TopShare += top / float64(n*a.Fish)
		a.DownShare += down / float64(n*a.Fish)
		gains[i] = (down - top) / float64(a.Fish)
	}
	a.Low, a.More, a.High = middleOf(saved)
	a.GainLow, _, a.GainHigh = middleOf(gains)
	return a
}

// middleOf sorts the draws and gives the ends and the middle of AliveRange of them.
func middleOf(draws []float64) (low, middle, high float64) {
	slices.Sort(draws)
	at := func(q float64) float64 { return draws[int(math.Round(q*float64(len(draws)-1)))] }
	return at((1 - AliveRange) / 2), at(0.5), at((1 + AliveRange) / 2)
}

// lot is so many fish of one class.
type lot struct {
	fish advisor.Case
	n    float64
}

// draw adds up, for one draw of the model, how many fish would live let go at the
// top and sent down, and how many owe their lives to the difference.
func draw(lots []lot, model *advisor.Sample, rng *rand.Rand) (top, down, saved float64) {
	for _, l := range lots {
		t, d := model.Survival(l.fish, advisor.Surface), model.Survival(l.fish, advisor.Recompressed)
		top += l.n * t
		down += l.n * d
		saved += luck(l.n, d-t, rng)
	}
	return top, down, saved
}

// luck is of how many fish the gain decided, less those that a weight cost their lives:
// the gain may be negative.
func luck(n, gain float64, rng *rand.Rand) float64 {
	return math.Copysign(binomial(n, math.Abs(gain), rng), gain)
}

// wide is a variance from which a binomial draw is taken for a normal one: their
// distributions then differ by less than 0.04 anywhere (Berry and Esseen).
const wide = 200

// binomial draws how many of n come about when each does with chance p, 0 to 1.
func binomial(n, p float64, rng *rand.Rand) float64 {
	switch variance := n * p * (1 - p); {
	case p > 0.5:
		return n - binomial(n, 1-p, rng)
	case variance >= wide:
		return min(max(math.Round(n*p+math.Sqrt(variance)*rng.NormFloat64()), 0), n)
	case p == 0:
		return 0
	}
	// The failures before each that comes about are geometric (Devroye 1986, Non-Uniform
	// Random Variate Generation, X.4.3): few numbers are drawn where p is small.
	count, failures := 0.0, math.Log1p(-p)
	for at := 0.0; ; count++ {
		if at += 1 + math.Floor(math.Log(1-rng.Float64())/failures); at > n {
			return count
		}
	}
}

func number(b bool) int {
	if b {
		return 1
	}
	return 0
}
