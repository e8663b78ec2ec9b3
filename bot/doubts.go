package bot

import (
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/store/catch"
)

// The doubts that are kept with a report and asked back.
const (
	// DoubtSizeForLength: weight and length do not fit one fish of the species.
	DoubtSizeForLength = "size_for_length"
	// DoubtSizeForSpecies: larger than the species is known to grow.
	DoubtSizeForSpecies = "size_for_species"
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
func Doubts(r *catch.Report) []string {
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
	if r.SpeciesSure && understand.Oversized(s, r.WeightKg, r.LengthCm) {
		list = append(list, DoubtSizeForSpecies)
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

// doubted is true for a report with something odd that nobody has confirmed.
func doubted(r *catch.Report) bool { return len(r.Flags) > 0 && !contains(r.Flags, Confirmed) }

// doubtAgain sets the doubts of a report that was changed. What is odd about its tag
// stays with the tag, and a figure once confirmed is not asked about again.
func doubtAgain(r *catch.Report, before catch.Report) {
	unsure := contains(r.Flags, DoubtDay)
	r.Flags = Doubts(r)
	if unsure {
		r.Flags = append(r.Flags, DoubtDay)
	}
	if r.Tag == before.Tag {
		for _, flag := range before.Flags {
			if strings.HasPrefix(flag, tagDoubt) {
				r.Flags = append(r.Flags, flag)
			}
		}
	}
	news := slices.ContainsFunc(r.Flags, func(flag string) bool { return !contains(before.Flags, flag) })
	if contains(before.Flags, Confirmed) && len(r.Flags) > 0 && !news {
		r.Flags = append(r.Flags, Confirmed)
	}
}

// addLine adds a line that is not there yet.
func addLine(lines []string, line string) []string {
	if contains(lines, line) {
		return lines
	}
	return append(lines, line)
}

// doubtLines asks back about each odd figure of the fish of one message.
func (t *turn) doubtLines(reports []*catch.Report) []string {
	var lines []string
	for _, r := range reports {
		if !doubted(r) {
			continue
		}
		for _, flag := range r.Flags {
			if strings.HasPrefix(flag, tagDoubt) { // tags are told by themselves
				continue
			}
			if flag == DoubtDay {
				if told, found, ok := t.doubtedDay(r); ok {
					lines = addLine(lines, sayNote(t.voice, dayProblem(found, told).Why))
				}
				continue
			}
			lines = addLine(lines, t.voice.Say("doubt."+flag, understand.InSentence(t.reportName(r))))
		}
	}
	return lines
}
