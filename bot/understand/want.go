package understand

import "slices"

// Want is what a question or a command asks for.
type Want string

// The requests, by the names of the JSON contract.
const (
	WantRelease   Want = "release"
	WantWhy       Want = "why"
	WantHow       Want = "how"
	WantVenting   Want = "venting"
	WantNoWeight  Want = "no_weight"
	WantSigns     Want = "signs"
	WantWeights   Want = "weights"
	WantNotNeeded Want = "not_needed"
	WantOdds      Want = "odds"

	WantUndo     Want = "undo"
	WantPutBack  Want = "put_back"
	WantHelp     Want = "help"
	WantSettings Want = "settings"
	WantSummary  Want = "summary"
	WantSeason   Want = "season"
	WantExport   Want = "export"
	WantKit      Want = "kit"
	WantCard     Want = "card"
	WantPrivacy  Want = "privacy"
	WantForget   Want = "forget"
	WantMine     Want = "mine"
	WantRules    Want = "rules"
	// WantFirstAid is for someone hurt.
	WantFirstAid Want = "first_aid"
)

// Request is one thing that can be asked for.
type Request struct {
	Want Want
	// Act is what a message does that asks for it.
	Act Act
	// Verbs are the commands that ask for it; the first one does it. None where the answer
	// comes from the talk.
	Verbs []string
}

// Requests lists all that can be asked for.
var Requests = [...]Request{
	{WantRelease, ActQuestion, nil},
	{WantWhy, ActQuestion, []string{"why"}},
	{WantHow, ActQuestion, []string{"how"}},
	{WantVenting, ActQuestion, []string{"venting"}},
	{WantNoWeight, ActQuestion, nil},
	{WantSigns, ActQuestion, []string{"signs"}},
	{WantWeights, ActQuestion, []string{"weights"}},
	{WantNotNeeded, ActQuestion, []string{"whennot"}},
	{WantOdds, ActQuestion, nil},

	{WantUndo, ActCommand, []string{"undo"}},
	{WantPutBack, ActCommand, nil},
	{WantHelp, ActCommand, []string{"help", "start"}},
	{WantSettings, ActCommand, []string{"settings", "my"}},
	{WantSummary, ActCommand, []string{"summary"}},
	{WantSeason, ActCommand, []string{"season"}},
	{WantExport, ActCommand, []string{"export"}},
	{WantKit, ActCommand, []string{"kit"}},
	{WantCard, ActCommand, []string{"card"}},
	{WantPrivacy, ActCommand, []string{"privacy", "mydata"}},
	{WantForget, ActCommand, []string{"forget"}},
	{WantMine, ActCommand, []string{"mine"}},
	{WantRules, ActCommand, []string{"rules"}},
	{WantFirstAid, ActCommand, nil},
}

// RequestOf is the entry of a request.
func RequestOf(w Want) (Request, bool) {
	return requestWhere(func(r Request) bool { return r.Want == w })
}

func requestWhere(is func(Request) bool) (Request, bool) {
	i := slices.IndexFunc(Requests[:], is)
	if i < 0 {
		return Request{}, false
	}
	return Requests[i], true
}

// Verb is the command that does what is asked for, "" where the talk answers.
func (w Want) Verb() string {
	if r, _ := RequestOf(w); len(r.Verbs) > 0 {
		return r.Verbs[0]
	}
	return ""
}

// requestBy is what a command asks for that is also asked in own words.
func requestBy(verb string) (Request, bool) {
	return requestWhere(func(r Request) bool { return slices.Contains(r.Verbs, verb) })
}
