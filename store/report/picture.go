package report

import (
	"errors"
	"io"

	"deepward/advisor"
)

// Labels are the words in the pictures, so that the chat can have them in the
// reader's language.
type Labels struct {
	// Hundred heads the picture of a hundred fish; Saved, Anyway and Died are its
	// kinds of fish, Saved with a %.0f for each end of its range; Reckoned stands
	// below.
	Hundred, Saved, Anyway, Died, Reckoned string
	// Seen heads the picture of the fish seen again, Share is a way of release and so
	// many of a hundred, a %s each, Axis the words below.
	Seen, Share, Axis string
	// Way is what a method of release is called.
	Way func(advisor.Method) string
	// Language is how figures are written, "en" and the like: with a point or a comma.
	Language string
}

// English are the labels in English.
func English() Labels { return voiceOf("en").labels() }

// labels are those of the pictures on the page.
func (v voice) labels() Labels {
	return Labels{
		Hundred: v.say("Of every 100 fish like these, sent down"), Saved: v.say("live because they were sent down (likely %.0f to %.0f)"),
		Anyway: v.say("would have lived anyway"), Died: v.say("die all the same"),
		Reckoned: v.say("Reckoned from published studies of other fish, not counted: nobody followed these."),
		Seen:     v.say("Seen again, of 100 tagged fish"), Share: v.say("%s: %s of 100"),
		Axis: v.say("of 100 tagged fish; each line is where the true share likely lies"),
		Way:  v.way, Language: v.code(),
	}
}

// ErrNoPicture means that a log has nothing to draw: no fish was sent down from a
// known depth, and no tagged one counts.
var ErrNoPicture = errors.New("nothing to draw in this log yet: log fish sent down with their depth, or tagged ones")

// ChartPNG writes the one chart that says most, sized for a phone: what became of a
// hundred fish that were sent down or, where that cannot be reckoned, how many tagged
// fish were seen again. The error is ErrNoPicture where there is neither.
func (r *Report) ChartPNG(w io.Writer, l Labels) error {
	if a := r.Findings.Alive; a.Fish > 0 {
		return shoalOf(a).chart(l).png(w)
	}
	if rows := r.seenRows(l); len(rows) > 0 {
		return whiskers(rows, l).png(w)
	}
	return ErrNoPicture
}
