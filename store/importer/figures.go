package importer

import (
	"math"
	"strconv"
	"strings"

	"deepward/advisor"
	"deepward/store/catch"
)

// figures reads what was measured.
func (b *builder) figures() {
	b.depths(b.r, 0)
	b.size(b.r, 0)
	if m, ok := b.measured(slot{field: fieldReleaseDepth}, 0, advisor.DeepestM, saying("is deeper than 1,000 m or above the water")); ok {
		b.r.ReleaseDepthM = tidy(m.high)
	}
	if m, ok := b.measured(slot{field: fieldMinutes}, 0, maxMinutes, saying("is longer than a fish lives out of water")); ok {
		b.r.MinutesOnDeck = tidy(m.high)
	}
	if m, ok := b.measured(slot{field: fieldTemperature}, coldestC, warmestC, saying("is no temperature of the sea")); ok {
		b.r.SurfaceTempC = tidy(m.high)
	}
	b.lead()
}

// tidy rounds off what the conversion of units leaves: to 0.1 mm, 0.1 g.
func tidy(x float64) *float64 { return new(math.Round(x*1e4) / 1e4) }

func (b *builder) depths(r *catch.Report, again int) {
	m, ok := b.measured(slot{fieldDepth, again}, 0, advisor.DeepestM, saying("is deeper than 1,000 m or above the water"))
	if ok && m.high == 0 {
		c, text, _ := b.cellOf(slot{fieldDepth, again})
		b.problem(c, text, "is no depth")
		return
	}
	if ok {
		r.DepthM = tidy(m.high)
		if m.ranged {
			r.DepthMinM = tidy(m.low)
		}
	}
	from, given := b.measured(slot{fieldDepthFrom, again}, 0, advisor.DeepestM, saying("is deeper than 1,000 m or above the water"))
	if !given {
		return
	}
	switch {
	case r.DepthM == nil:
		r.DepthM = tidy(from.high)
	case from.low > *r.DepthM:
		c, text, _ := b.cellOf(slot{fieldDepthFrom, again})
		b.problem(c, text, "is deeper than the depth itself")
	case from.low < *r.DepthM:
		r.DepthMinM = tidy(from.low)
	}
}

// largest is what a fish weighs and measures at most.
type largest struct {
	kg, cm float64
	of     *advisor.Species // nil for any
}

func largestOf(species string) largest {
	l := largest{advisor.HeaviestKg, advisor.LongestCm, advisor.LookUp(species)}
	if l.of == nil {
		return l
	}
	if l.of.MaxLengthCm > 0 {
		l.cm = min(l.cm, advisor.RecordSlack*l.of.MaxLengthCm)
	}
	if limit := l.of.MaxWeightKg(); limit > 0 {
		l.kg = min(l.kg, limit)
	}
	return l
}

// name is that of the fish, for a sentence.
func (l largest) name() any {
	if l.of == nil {
		return "any fish here"
	}
	return fishName{l.of}
}

// size reads weight and length; a fish far over what its species reaches is a problem.
func (b *builder) size(r *catch.Report, again int) {
	most := largest{kg: advisor.HeaviestKg, cm: advisor.LongestCm}
	if b.r.SpeciesSure {
		most = b.largest.read(b.r.Species, largestOf)
	}
	if m, ok := b.measured(slot{fieldWeight, again}, 0, most.kg, func() Said {
		return Said{"is more than %s reaches (about %s kg), or less than nothing; is the unit right?", []any{most.name(), short(most.kg)}}
	}); ok && m.high > 0 {
		r.WeightKg = tidy(m.high)
	}
	if m, ok := b.measured(slot{fieldLength, again}, minCm, most.cm, func() Said {
		return Said{"is longer than %s grows (about %s cm), or under 2 cm; is the unit right?", []any{most.name(), short(most.cm)}}
	}); ok {
		r.LengthCm, r.LengthType = tidy(m.high), m.kind
		if r.LengthType == "" {
			r.LengthType = b.lengthType()
		}
	}
}

// lengthType is what a column of its own says of how lengths were measured.
func (b *builder) lengthType() advisor.LengthType {
	c, text, told := b.cell(fieldLengthType)
	if !told {
		return ""
	}
	for _, word := range strings.Fields(spaced(text)) {
		if kind, ok := known().lengthType(word); ok {
			return kind
		}
	}
	b.notUnderstood(c, text)
	return ""
}

// lead reads the release weights; a bare yes says only that there was one.
func (b *builder) lead() {
	_, text, told := b.cell(fieldLead)
	if _, isAnswer := known().answer(text); told && isAnswer && !strings.ContainsAny(text, "01") {
		return // method has it
	}
	m, ok := b.measured(slot{field: fieldLead}, 0, maxLeadOz, saying("is no release weight"))
	if !ok || m.high == 0 {
		return
	}
	list := m.several
	if list == nil {
		list = []float64{m.high}
	}
	for _, oz := range list {
		b.r.WeightsOz = append(b.r.WeightsOz, *tidy(oz))
	}
}

// count is how many such fish the row stands for.
func (b *builder) count() int {
	c, text, told := b.cell(fieldCount)
	n, err := b.fishCounted(), error(nil)
	if told {
		n, err = parseWhole(text)
	} else if n > 1 {
		c, text, _ = b.cell(fieldSpecies)
	}
	if err != nil || n < 1 || n > advisor.MostFish {
		b.problem(c, text, "is no number of fish from 1 to %d", advisor.MostFish)
		return 0
	}
	if n > 1 && b.r.Tag != "" {
		b.problem(c, text, "fish cannot all wear one tag")
	}
	return n
}

// parseWhole reads a whole number, also as a workbook keeps it ("3.0").
func parseWhole(text string) (int, error) {
	x, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || x != math.Trunc(x) || math.Abs(x) > 1e9 {
		return 0, errNoFigure
	}
	return int(x), nil
}
