package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"deepward/bot/draw"
	"deepward/bot/files"
)

// cardCmd writes the pocket card.
type cardCmd struct {
	Weights  []float64 `help:"Release weights aboard in oz; the common 20,40 by default."`
	Region   string    `help:"Only the fish of that region."`
	Imperial bool      `help:"Write feet and pounds first."`
	Language string    `help:"Language of the card: en, es, pt, pt-BR or fr." enum:"en,es,pt,pt-BR,fr" default:"en"`
	Out      string    `help:"One file to write, .png, .svg or .html; without it a picture and a page are written." type:"path" short:"o"`
}

// cardName is what the files are called when nobody names one.
const cardName = "release-weights"

func (cardCmd) Help() string {
	return `Example:

    deepward card --weights 20,40,60 --region hawaii -o card.png`
}

func (c cardCmd) Run(e env) error {
	for _, oz := range c.Weights {
		if oz <= 0 || oz > 500 {
			return usage("a release weight of %v oz cannot be right", oz)
		}
	}
	if c.Out != "" {
		return c.write(e, c.Out)
	}
	return errors.Join(c.write(e, cardName+".png"), c.write(e, cardName+".html"))
}

// write writes one file; its ending says as what.
func (c cardCmd) write(e env, path string) error {
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
	l.Date = e.now().Format(time.DateOnly)
	err = writeFile(path, forAll, func(w io.Writer) error { return files.WriteCard(w, form, c.Weights, species, l) })
	if err != nil {
		return err
	}
	fmt.Fprintf(e.out, "%s: %s\n", path, what)
	return nil
}
