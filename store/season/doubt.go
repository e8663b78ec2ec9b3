package season

import (
	"slices"
	"strings"

	"deepward/store/catch"
)

// Doubt is a reason to trust a report less, by code: a flag that stands with the
// report, or one of these.
type Doubt string

// The doubts that are seen from a report itself.
const (
	DoubtSpeciesUnknown Doubt = "species_unknown"
	DoubtSpeciesUnsure  Doubt = "species_unsure"
	DoubtNoDepth        Doubt = "no_depth"
	DoubtNoSize         Doubt = "no_size"
	DoubtNotWatched     Doubt = "not_watched"
	DoubtConfirmed      Doubt = "confirmed_by_angler"
)

// tagFlag begins the flags about tags; those are judged anew from the whole log.
const tagFlag = "tag_"

// doubt counts what is odd about a report. Flags that the angler looked at and
// confirmed count as that.
func doubt(r *catch.Report, counts map[Doubt]int) {
	note := func(d Doubt, is bool) {
		if is {
			counts[d]++
		}
	}
	note(DoubtSpeciesUnknown, r.Species == "")
	note(DoubtSpeciesUnsure, r.Species != "" && !r.SpeciesSure)
	// Of a fish that was only seen again nobody need tell these.
	sighting := r.Recapture && r.Method == ""
	note(DoubtNoDepth, !sighting && r.DepthM == nil)
	note(DoubtNoSize, !sighting && r.WeightKg == nil && r.LengthCm == nil)
	note(DoubtNotWatched, !sighting && r.Outcome == "")
	confirmed := slices.Contains(r.Flags, string(DoubtConfirmed))
	note(DoubtConfirmed, confirmed)
	for _, f := range r.Flags {
		note(Doubt(f), !confirmed && !strings.HasPrefix(f, tagFlag))
	}
}

// Reason is why a fish was not counted somewhere, as a sentence.
type Reason string

// The reasons, and where each fish is missing because of it.
const (
	OutUndone            Reason = "report taken back: counts nowhere"
	OutNoMethod          Reason = "not told how it was released: counts in no table of releases"
	OutRecaptureNoMethod Reason = "seen again, not told what was done with it then: counts as seen again only"
	OutDepthTable        Reason = "no depth told: not in the table by depth"
	OutNoDepth           Reason = "sent down, no depth told: taken as no fish saved"
	OutDead              Reason = "dead before it was sent down: taken as no fish saved"
	OutTagDead           Reason = "tagged, but kept or not let go alive: not in the recapture rates"
	OutTagNoMethod       Reason = "tagged, not told how it was released: not in the recapture rates"
	OutTagTooNew         Reason = "tagged too near the end of the log to be seen again: not in the recapture rates"
	OutTagUnknown        Reason = "seen again, but the release with the tag is not in this log: not in the recapture rates"
	OutTagSameDay        Reason = "seen again on the day it was tagged only: counts as not seen again"
	OutTagNoDay          Reason = "tagged, day not told: in the recapture rates, however long they were at large"
	OutMonthTable        Reason = "day not told: not in the table by month"
	OutTagNoDepth        Reason = "tagged, no depth told: in the plain rates, not in those compared by depth"
)

// Reasons are all of them.
func Reasons() []Reason {
	return []Reason{
		OutUndone, OutNoMethod, OutRecaptureNoMethod, OutDepthTable, OutNoDepth, OutDead, OutTagDead, OutTagNoMethod, OutTagTooNew, OutTagUnknown, OutTagSameDay, OutTagNoDay, OutMonthTable, OutTagNoDepth,
	}
}

// Left is how many fish were left out for one reason.
type Left struct {
	Why  Reason
	Fish int
}

type leftOut map[Reason]int

func (l leftOut) add(why Reason, fish int) { l[why] += fish }

// list is in the order of the sentences.
func (l leftOut) list() (list []Left) {
	for _, why := range names(l) {
		list = append(list, Left{why, l[why]})
	}
	return list
}
