package draw

import (
	"bytes"
	"cmp"
	_ "embed"
	"html/template"
	"io"
	"strings"
	"sync"

	"deepward/advisor"
)

//go:embed page.html
var pageHTML string

var pageTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("page").Parse(pageHTML))
})

// page is what the page to print holds.
type page struct {
	Language, Title, StepsTitle string
	NoWeightTitle, NoWeight     string
	Basis, Fold                 string
	Steps                       []string
	Card, Hook, Signs           template.HTML
	// WhenNot stands under the signs, More under a card that leaves room.
	WhenNot, More template.HTML
}

// CardPage writes the pocket card as one HTML page for a browser and for paper:
// A4 or Letter across, folded in three, with the card, where the hook goes, the signs
// and the fish that get no weight. It loads nothing from outside.
func CardPage(w io.Writer, t advisor.Table, l Labels) error {
	lesson := func(name string) template.HTML {
		var b bytes.Buffer
		Lesson(name, l, &b, SVG) // the names are ours and a buffer takes everything
		return template.HTML(b.String())
	}
	p := page{
		Language: cmp.Or(l.Language, "en"), Title: l.say("card.title"), StepsTitle: l.say("page.steps"),
		NoWeightTitle: l.say("card.noweight"), NoWeight: strings.Join(l.names(t.NoWeight), ", "),
		Basis: l.say("card.basis"), Fold: l.say("page.fold"),
		Card: template.HTML(cardPicture(t, l, paperH).svg(l)), Hook: lesson(Hook), Signs: lesson(Signs), WhenNot: lesson(WhenNot),
	}
	if len(t.Grids) == 1 {
		p.More = lesson(Weights)
	}
	for _, key := range []string{"page.step1", "page.step2", "page.step3", "page.step4", "page.step5"} {
		p.Steps = append(p.Steps, l.say(key))
	}
	return pageTemplate().Execute(w, p)
}
