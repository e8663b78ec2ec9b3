package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"deepward/bot"
	"deepward/bot/draw"
	"deepward/bot/files"
)

// cardCmd writes the pocket card.
type cardCmd struct {
	Weights  string `help:"Release weights aboard, such as '20 40 60 oz', '2 3 lb' or '500 g, 1 kg'; oz where no unit is told, the common 20,40 by default."`
	Region   string `help:"Only the fish of that region."`
	Imperial bool   `help:"Write feet and pounds first."`
	Language string `help:"Language of the card: en, es, pt, pt-BR or fr." enum:"en,es,pt,pt-BR,fr" default:"en"`
	Out      string `help:"One file to write, .png, .svg or .html; without it a picture and a page are written." type:"path" short:"o"`
}

// cardName is what the files are called when nobody names one.
const cardName = "release-weights"

func (cardCmd) Help() string {
	return `Example:

    deepward card --weights 20,40,60 --region hawaii -o card.png
    deepward card --weights "500 g, 1 kg" --language es`
}

func (c cardCmd) Run(e env) error {
	var b boat
	if c.Weights != "" {
		var ok bool
		if b.oz, b.unit, ok = bot.ReadWeights(c.Weights); !ok {
			return usage("write the release weights as '20 40 60 oz', '2 3 lb' or '500 g, 1 kg', not %q", c.Weights)
		}
	}
	if c.Out != "" {
		return c.write(e, b, c.Out)
	}
	return errors.Join(c.write(e, b, cardName+".png"), c.write(e, b, cardName+".html"))
}

// boat is what is aboard: release weights in ounces, and the unit they were told in.
type boat struct {
	oz   []float64
	unit string
}

// write writes one file; its ending says as what.
func (c cardCmd) write(e env, b boat, path string) error {
	species, err := speciesIn(c.Region)
	if err != nil {
		return err
	}
	form := files.CardForm(strings.TrimPrefix(strings.ToLower(filepath.Ext(path)), "."))
	what, ok := map[files.CardForm]string{
		files.CardPNG: "a picture for the phone", files.CardSVG: "a picture for any size",
		files.CardPage: "open it and print it on A4 or Letter, across, folded in three",
	}[form]
	if !ok {
		return usage("a card is written as .png, .svg or .html, not %q", filepath.Ext(path))
	}
	l := draw.In(c.Language, c.Imperial)
	l.Lead = b.unit
	l.Date = e.now().Format(time.DateOnly)
	err = writeFile(path, forAll, func(w io.Writer) error { return files.WriteCard(w, form, b.oz, species, l) })
	if err != nil {
		return err
	}
	fmt.Fprintf(e.out, "%s: %s\n", path, what)
	return nil
}
