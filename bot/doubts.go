package bot

import (
	"strings"

	"deepward/advisor"
	"deepward/store"
)

// The doubts that are kept with a report and asked back.
const (
	// DoubtSizeForLength: weight and length do not fit one fish of the species.
	DoubtSizeForLength = "size_for_length"
	// DoubtDepthForSpecies: caught far outside the depths the species lives in.
	DoubtDepthForSpecies = "depth_for_species"
	// DoubtReleaseDeeper: freed deeper than it was caught.
	DoubtReleaseDeeper = "released_deeper_than_caught"
	// Confirmed is added when the person said that odd figures are right.
	Confirmed = "confirmed_by_angler"
)

// A fish half or twice the weight that its length tells is odd; measured fish
// of one length differ by some 30 % (common practice, no source).
const (
	lightestShare = 0.5
	heaviestShare = 2.0
)

// Doubts lists what is odd about a report.
func Doubts(r *store.Report) []string {
	var list []string
	s := advisor.LookUp(r.Species)
	if s == nil {
		return nil
	}
	if r.WeightKg != nil && r.LengthCm != nil {
		if kg, _, ok := s.WeightFromLength(*r.LengthCm, r.LengthType); ok && oddShare(*r.WeightKg/kg) {
			list = append(list, DoubtSizeForLength)
		}
	}
	if r.DepthM != nil && s.DepthMaxM > 0 && *r.DepthM > 1.5*s.DepthMaxM+20 {
		list = append(list, DoubtDepthForSpecies)
	}
	if r.DepthM != nil && r.ReleaseDepthM != nil && *r.ReleaseDepthM > 1.1**r.DepthM+5 {
		list = append(list, DoubtReleaseDeeper)
	}
	return list
}

func oddShare(x float64) bool { return x < lightestShare || x > heaviestShare }

// doubtLines asks back about each odd figure.
func (t *turn) doubtLines(r *store.Report) []string {
	var lines []string
	for _, flag := range r.Flags {
		if flag != Confirmed && !strings.HasPrefix(flag, tagDoubt) { // tags are told by themselves
			lines = append(lines, t.voice.Say("doubt."+flag, t.reportName(r)))
		}
	}
	return lines
}
