package understand

import (
	"deepward/advisor"
	"strings"
)

// Meaning is a reading in the form of a question about one fish and more.
func (r Reading) Meaning() Meaning {
	m := Meaning{Text: r.Text, Kind: r.kind(), Query: blankQuery(), Missing: []string{}, Verb: r.Verb, Rest: r.Rest}
	if m.Kind == Other || m.Kind == Command {
		return m
	}
	var fish []advisor.Query
	for _, f := range r.Fish {
		q := f.Query
		if len(r.Aboard.ReleaseOz) > 0 {
			q.WeightsAboardOz = r.Aboard.ReleaseOz
		}
		fish = append(fish, q)
		f.Done.Day = r.Day
		m.Each = append(m.Each, f.Done)
	}
	if len(fish) == 0 {
		fish, m.Each = []advisor.Query{blankQuery()}, []Done{{Day: r.Day}}
		fish[0].WeightsAboardOz, fish[0].Predators = r.Aboard.ReleaseOz, r.Predators
	}
	m.Query, m.More, m.Done = fish[0], fish[1:], m.Each[0]
	if len(m.Each) == 1 {
		m.Each = nil
	}
	m.Problems = r.Problems
	for _, b := range r.Bare {
		m.Problems = append(m.Problems, Problem{b.Role, advisor.Note{Code: NoUnit, Words: []string{b.Words}}})
	}
	if len(r.Fish) > 0 {
		m.Named = strings.ToLower(r.Fish[0].Name)
	}
	m.FollowUp = m.Query.SpeciesName == "" || r.Act == ActCorrection
	m.Correction = r.Corrects
	m.Missing = Missing(m.Query)
	return m
}

// kind is the kind of message by the act.
func (r Reading) kind() Kind {
	switch {
	case r.Verb != "":
		return Command
	case r.Act == ActQuestion, r.Act == ActCorrection:
		return Question
	case r.Act == ActReport:
		return Report
	case r.Act == ActCommand:
		return Command
	default:
		return Other
	}
}

// DoneWith is what was done with the i-th fish.
func (m Meaning) DoneWith(i int) Done {
	if i < len(m.Each) {
		return m.Each[i]
	}
	return m.Done
}
