package talk

import (
	"cmp"
	"slices"

	"deepward/advisor"
	"deepward/bot/understand"
)

// Merge puts what a follow-up says over the question before it. A new size
// replaces the old one whole: a length told after a weight is the better news.
func Merge(base, news advisor.Query) advisor.Query {
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
	base.NoSigns = (base.NoSigns || news.NoSigns) && len(base.Signs) == 0
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

// mergeFish puts what is told now over what is known of a fish.
func mergeFish(base, news understand.Fish) understand.Fish {
	if isNamed(news) && hasSize(news.Query) && hasSize(base.Query) {
		base.NoSigns = false // named and sized anew it may be another: nobody has looked at it
	}
	base.Query = Merge(base.Query, news.Query)
	if isNamed(news) {
		base.Name = news.Name
	}
	base.Which = understand.Which{Size: cmp.Or(news.Which.Size, base.Which.Size)}
	base.Pick = news.Pick
	if news.Counted {
		base.Counted, base.Query.Count = true, news.Query.Count
	}
	if news.NoSigns && len(news.Query.Signs) == 0 {
		base.Query.Signs, base.NoSigns = nil, true
	}
	if news.NotBleeding {
		base.Query.Bleeding, base.NotBleeding = false, true
	}
	base.Done = MergeDone(base.Done, news.Done)
	return base
}

// MergeDone puts what was done now over what had been done: another method begins anew.
func MergeDone(base, news understand.Done) understand.Done {
	if news.Method != "" && news.Method != base.Method {
		base.Method = news.Method
		if news.Method != advisor.Recompressed {
			base.WeightsOz, base.ReleaseDepthM = nil, nil
		}
	}
	if len(news.WeightsOz) > 0 {
		base.WeightsOz = news.WeightsOz
		if base.Method == "" {
			base.Method = advisor.Recompressed
		}
	}
	if news.ReleaseDepthM != nil {
		base.ReleaseDepthM = news.ReleaseDepthM
		if base.Method == "" {
			base.Method = advisor.Recompressed
		}
	}
	if news.Outcome != "" {
		base.Outcome = news.Outcome
	}
	if news.Tag != "" && news.Tag != base.Tag {
		base.Tag = news.Tag
	}
	base.Recapture = base.Recapture || news.Recapture
	if news.Day != nil {
		base.Day = news.Day
	}
	return base
}

func isNamed(f understand.Fish) bool { return f.Name != "" || f.Query.SpeciesName != "" }

func hasSize(q advisor.Query) bool { return q.WeightKg != nil || q.LengthCm != nil }

// isDone is true where something was done with the fish, or how it went is told.
func isDone(f understand.Fish) bool {
	d := f.Done
	return d.Method != "" || d.Outcome != "" || len(d.WeightsOz) > 0 || d.ReleaseDepthM != nil
}

// ending is true for words that only say how it went, or what was done, of a fish that
// is known from before.
func ending(f understand.Fish) bool {
	return !isNamed(f) && f.Query.DepthM == nil && !hasSize(f.Query)
}
