package bot

import (
	"slices"

	"deepward/advisor"
)

// merge puts what a follow-up says over the question before it. A new size
// replaces the old one whole: a length told after a weight is the better news.
func merge(base, news advisor.Query) advisor.Query {
	if news.Species != "" || news.SpeciesName != "" {
		base.Species, base.SpeciesName = news.Species, news.SpeciesName
		base.Candidates, base.Ambiguous = news.Candidates, news.Ambiguous
		base.Given, base.Unfamiliar = news.Given, news.Unfamiliar
	}
	if news.DepthM != nil {
		base.DepthM, base.DepthRangeM = news.DepthM, news.DepthRangeM
	}
	if news.WeightKg != nil || news.LengthCm != nil {
		base.WeightKg, base.LengthCm, base.LengthType = news.WeightKg, news.LengthCm, news.LengthType
	}
	if news.Count > 1 {
		base.Count = news.Count
	}
	for _, s := range news.Signs {
		if !base.Has(s) {
			base.Signs = append(slices.Clone(base.Signs), s)
		}
	}
	mergeState(&base, news)
	return base
}

func mergeState(base *advisor.Query, news advisor.Query) {
	if news.Hook != "" {
		base.Hook = news.Hook
	}
	if news.Behaviour != "" {
		base.Behaviour = news.Behaviour
	}
	if news.MinutesOnDeck != nil {
		base.MinutesOnDeck = news.MinutesOnDeck
	}
	if news.SurfaceTempC != nil {
		base.SurfaceTempC = news.SurfaceTempC
	}
	if len(news.WeightsAboardOz) > 0 {
		base.WeightsAboardOz = news.WeightsAboardOz
	}
	base.Bleeding = base.Bleeding || news.Bleeding
	base.Predators = base.Predators || news.Predators
	base.WarmWater = base.WarmWater || news.WarmWater
}
