package advisor

import (
	_ "embed"
	"math"
	"slices"
	"strconv"
	"sync"
)

//go:embed data/kit_weights.csv
var kitWeightsCSV string

// KitWeightsOz are the release weights in ounces that one can buy or cast, ascending.
var KitWeightsOz = sync.OnceValue(func() []float64 {
	var list []float64
	for _, row := range Rows("kit weights", kitWeightsCSV) {
		oz, err := strconv.ParseFloat(row[0], 64)
		if err != nil {
			panic("advisor: embedded list of weights: " + row[0])
		}
		list = append(list, oz)
	}
	return list
})

const (
	// kitExtras is the most release weights that a kit adds to those of common
	// practice; more are a burden in a small boat (common practice, no source).
	kitExtras = 2
	// The cases that a kit is tried on lie this far apart.
	kitStepM  = 5
	kitStepKg = 0.5
)

// KitUse is one weight or pair out of a kit, and for what it serves.
type KitUse struct {
	// WeightsOz is the weight or the pair in ounces, heaviest first.
	WeightsOz []float64
	// Share is the part of all cases in which it is the one to use.
	Share float64
	// ToKg is the heaviest fish that it sends down in any of them.
	ToKg float64
}

// KitCorner is one kind of fish for which the kit stays short.
type KitCorner struct {
	Kind string
	// FromKg is the lightest fish from the greatest depth that is too much for it.
	FromKg float64
	// NeededOz is what the heaviest fish from the greatest depth asks for, with the
	// margin, and CarriedOz the most that is put on one fish.
	NeededOz, CarriedOz float64
	// PushDownM is how deep that fish must be pushed before the weights pull harder
	// than the gas; 0 when they do from the top and only the margin is missing.
	PushDownM float64
}

// Kit is which release weights to carry for a trip.
type Kit struct {
	MaxDepthM, MaxWeightKg float64
	// WeightsOz are the release weights in ounces, lightest first.
	WeightsOz []float64
	// Kinds are the kinds of fish that were reckoned with, by the gas table.
	Kinds []string
	// Cases is how many combinations of kind, size and depth were tried and Covered
	// in how many the kit meets physics with its margin and common practice.
	Cases, Covered int
	// NeededOz is the most that the physics asks for in any case, margin included,
	// PracticeOz the most that common practice names.
	NeededOz, PracticeOz float64
	Uses                 []KitUse
	// Short are the corners that stay short: push the fish down first.
	Short []KitCorner
}

// KitFor says which release weights to carry for depths down to maxDepthM in
// metres and fish up to maxWeightKg in kilograms, of these species (every kind
// in the catalogue when none are given).
//
// It starts from the weights that common practice names for such a trip and adds,
// of those that one can buy or cast, the fewest with which ChooseWeights satisfies
// physics and common practice in every case, or in as many as can be; among equals
// the set that needs two weights on one fish least often, then hangs the least lead.
// Depths where no weight is used (under SignsBeginM) are no cases: for a trip that
// stays above, the kit is for the fish that floats all the same.
func KitFor(maxDepthM, maxWeightKg float64, species []*Species) Kit {
	if len(species) == 0 {
		species = Catalogue()
	}
	kinds, _ := byKind(species)
	k := Kit{MaxDepthM: maxDepthM, MaxWeightKg: maxWeightKg}
	var cases []kitCase
	for _, kind := range kinds {
		k.Kinds = append(k.Kinds, kind[0].Gas().Kind)
		cases = append(cases, kitCases(kind[0].Gas(), maxDepthM, maxWeightKg)...)
	}
	k.WeightsOz = bestKit(customOf(cases), wanted(cases))
	k.judge(cases)
	for _, kind := range kinds {
		k.corner(kind[0].Gas())
	}
	return k
}

// kitCase is one fish that the kit must send down.
type kitCase struct {
	kg, depthM         float64
	neededOz, customOz float64
}

func newKitCase(g Gas, kg, depthM float64) kitCase {
	return kitCase{kg, depthM, LeadNeededOz(LiftOf(g, kg, depthM).Gf, LiftMargin), PracticeOz(kg, depthM)}
}

func kitCases(g Gas, maxDepthM, maxWeightKg float64) []kitCase {
	var cases []kitCase
	for _, depth := range ladder(min(SignsBeginM, maxDepthM), maxDepthM, kitStepM) {
		for _, kg := range ladder(min(kitStepKg, maxWeightKg), maxWeightKg, kitStepKg) {
			cases = append(cases, newKitCase(g, kg, depth))
		}
	}
	return cases
}

// ladder climbs from low to high in steps, both ends included; at most 40 rungs,
// so that a giant of a fish costs no more time than a small one.
func ladder(low, high, step float64) []float64 {
	n := int(min(math.Ceil((high-low)/step), 39))
	rungs := make([]float64, 0, n+1)
	for i := range n {
		rungs = append(rungs, low+(high-low)*float64(i)/float64(n))
	}
	return append(rungs, high)
}

// demand is what cases want, to the whole ounce, and how many of them do.
type demand struct {
	neededOz, customOz float64
	count              int
}

// wanted gathers the cases that want the same: the search need try them only once.
func wanted(cases []kitCase) []demand {
	counts := map[[2]float64]int{}
	for _, c := range cases {
		counts[[2]float64{max(math.Ceil(c.neededOz), c.customOz), c.customOz}]++
	}
	list := make([]demand, 0, len(counts))
	for key, n := range counts {
		list = append(list, demand{key[0], key[1], n})
	}
	slices.SortFunc(list, func(a, b demand) int {
		if a.neededOz != b.neededOz {
			return int(a.neededOz - b.neededOz)
		}
		return int(a.customOz - b.customOz)
	})
	return list
}

// customOf lists the weights that common practice names in these cases, ascending.
func customOf(cases []kitCase) []float64 {
	var list []float64
	for _, c := range cases {
		if !slices.Contains(list, c.customOz) {
			list = append(list, c.customOz)
		}
	}
	slices.Sort(list)
	return list
}

// kitScore orders kits: cases left short, pieces, cases that take two weights,
// lead hung on the fish.
type kitScore [4]float64

func (s kitScore) better(t kitScore) bool { return slices.Compare(s[:], t[:]) < 0 }

// bestKit tries the custom with every set of up to kitExtras weights, doubles allowed.
func bestKit(custom []float64, demands []demand) []float64 {
	best, bestScore := custom, scoreKit(custom, demands)
	var try func(set []float64, from int)
	try = func(set []float64, from int) {
		if s := scoreKit(set, demands); s.better(bestScore) {
			best, bestScore = slices.Clone(set), s
		}
		if len(set) == len(custom)+kitExtras {
			return
		}
		for i := from; i < len(KitWeightsOz()); i++ {
			try(append(slices.Clone(set), KitWeightsOz()[i]), i)
		}
	}
	try(custom, 0)
	return slices.Sorted(slices.Values(best))
}

func scoreKit(set []float64, demands []demand) kitScore {
	s := kitScore{1: float64(len(set))}
	for _, d := range demands {
		c, n := ChooseWeights(set, d.neededOz, d.customOz), float64(d.count)
		if !meets(c) {
			s[0] += n
		}
		s[2] += n * float64(len(c.Oz)-1)
		s[3] += n * sum(c.Oz)
	}
	return s
}

// meets reports whether a choice satisfies physics and common practice.
func meets(c Choice) bool { return c.Enough && !c.BelowPractice }

// judge counts what the kit covers and what each weight or pair is for.
func (k *Kit) judge(cases []kitCase) {
	k.Cases = len(cases)
	for _, c := range cases {
		k.NeededOz, k.PracticeOz = max(k.NeededOz, c.neededOz), max(k.PracticeOz, c.customOz)
		choice := ChooseWeights(k.WeightsOz, c.neededOz, c.customOz)
		if !meets(choice) {
			continue
		}
		k.Covered++
		k.use(choice.Oz, c.kg)
	}
	for i := range k.Uses {
		k.Uses[i].Share /= float64(k.Cases)
	}
	slices.SortFunc(k.Uses, func(a, b KitUse) int { return int(sum(a.WeightsOz) - sum(b.WeightsOz)) })
}

func (k *Kit) use(oz []float64, kg float64) {
	i := slices.IndexFunc(k.Uses, func(u KitUse) bool { return slices.Equal(u.WeightsOz, oz) })
	if i < 0 {
		k.Uses = append(k.Uses, KitUse{WeightsOz: oz})
		i = len(k.Uses) - 1
	}
	k.Uses[i].Share++
	k.Uses[i].ToKg = max(k.Uses[i].ToKg, kg)
}

// corner notes where the kit stays short for one kind of fish, if it does.
func (k *Kit) corner(g Gas) {
	short := func(kg float64) (kitCase, Choice, bool) {
		c := newKitCase(g, kg, k.MaxDepthM)
		choice := ChooseWeights(k.WeightsOz, c.neededOz, c.customOz)
		return c, choice, !choice.Enough
	}
	worst, choice, isShort := short(k.MaxWeightKg)
	if !isShort {
		return
	}
	corner := KitCorner{Kind: g.Kind, NeededOz: worst.neededOz, CarriedOz: sum(choice.Oz)}
	corner.PushDownM, _ = PushDownDepth(g, k.MaxWeightKg, k.MaxDepthM, corner.CarriedOz)
	for _, kg := range ladder(min(kitStepKg, k.MaxWeightKg), k.MaxWeightKg, kitStepKg) {
		if _, _, s := short(kg); s {
			corner.FromKg = kg
			break
		}
	}
	k.Short = append(k.Short, corner)
}
