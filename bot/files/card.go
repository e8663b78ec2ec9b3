package files

import (
	_ "embed"
	"html/template"
	"io"
	"strconv"
	"strings"
	"time"

	"deepward/advisor"
	"deepward/bot"
	"deepward/bot/words"
)

//go:embed card.html
var cardHTML string

var cardTemplate = template.Must(template.New("card").Parse(cardHTML))

// cardPage is the pocket card as the page shows it.
type cardPage struct {
	Aboard            string
	Assumed           bool
	Depths            []string
	Grids             []cardGrid
	NoWeight, Shallow string
	Made              string
}

type cardGrid struct {
	Kinds string
	Rows  []cardRow
}

type cardRow struct {
	Size  string
	Cells []cardCell
}

// cardCell is one answer; Push is what to do first where the weights are short.
type cardCell struct{ Text, Push string }

// WriteCard writes the pocket card as one page to print: the same answers as in
// the chat, for use where there is no signal.
func WriteCard(w io.Writer, aboardOz []float64, species []*advisor.Species, imperial bool, made time.Time) error {
	scale := advisor.MetricScale()
	if imperial {
		scale = advisor.ImperialScale()
	}
	t := advisor.Card(aboardOz, species, scale)
	v := words.For("en", imperial)
	page := cardPage{
		Aboard: v.OuncesTogether(t.AboardOz), Assumed: t.Assumed, Made: made.Format(time.DateOnly),
		Shallow: v.Depth(advisor.SignsBeginM),
	}
	page.Aboard = strings.ReplaceAll(page.Aboard, " + ", ", ")
	for _, d := range t.Scale.DepthsM {
		page.Depths = append(page.Depths, v.Depth(d))
	}
	for _, g := range t.Grids {
		page.Grids = append(page.Grids, gridOf(v, t.Scale, g))
	}
	var names []string
	for _, s := range t.NoWeight {
		names = append(names, s.EnglishName)
	}
	page.NoWeight = strings.Join(names, ", ")
	return cardTemplate.Execute(w, page)
}

func gridOf(v words.Voice, scale advisor.Scale, g advisor.Grid) cardGrid {
	kinds := make([]string, len(g.Kinds))
	for i, k := range g.Kinds {
		kinds[i] = v.Say("kind." + k)
	}
	grid := cardGrid{Kinds: strings.Join(kinds, ", ")}
	for _, i := range g.Steps() {
		row := cardRow{Size: v.Mass(scale.SizesKg[i])}
		for _, c := range g.Cells[i] {
			row.Cells = append(row.Cells, cellText(v, c))
		}
		grid.Rows = append(grid.Rows, row)
	}
	return grid
}

func cellText(v words.Voice, c advisor.Cell) cardCell {
	if c.Action != advisor.ActRecompress {
		return cardCell{Text: "top"}
	}
	cell := cardCell{Text: strings.TrimSuffix(strings.ReplaceAll(v.OuncesTogether(c.WeightsOz), " ", ""), "oz")}
	switch {
	case c.PushDownM > 0:
		cell.Push = "push to " + v.Depth(c.PushDownM)
	case c.PushFirst:
		cell.Push = "push under"
	}
	return cell
}

// card is the pocket card as a document.
func (m *Maker) card(args map[string]string) (bot.File, error) {
	var aboard []float64
	for word := range strings.FieldsSeq(args["weights"]) {
		if oz, err := strconv.ParseFloat(word, 64); err == nil && oz > 0 {
			aboard = append(aboard, oz)
		}
	}
	var species []*advisor.Species
	if args["region"] != "" {
		species = advisor.SpeciesIn(args["region"])
	}
	var page strings.Builder
	err := WriteCard(&page, aboard, species, args["imperial"] == "true", m.now())
	return bot.File{Name: "release-weights.html", Data: []byte(page.String())}, err
}
