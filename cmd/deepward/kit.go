package main

import (
	"fmt"

	"deepward/advisor"
	"deepward/bot"
	"deepward/bot/terminal"
	"deepward/bot/words"
)

// kitCmd says which release weights to carry for a trip.
type kitCmd struct {
	Depth    string `help:"The greatest depth you will fish, for example 80m or 260ft." required:""`
	To       string `help:"The heaviest fish you expect, for example 10kg or 22lb." required:""`
	Region   string `help:"Where you fish: reckons with the fish of that region only."`
	Imperial bool   `help:"Write feet and pounds."`
}

func (kitCmd) Help() string {
	return `Example:

    deepward kit --depth 80m --to 10kg`
}

func (c kitCmd) Run(e env) error {
	depthM, kg, ok := bot.KitCase(c.Depth, c.To)
	if !ok {
		return usage("write the depth as 80m and the fish as 10kg, each with its unit")
	}
	species, err := speciesIn(c.Region)
	if err != nil {
		return err
	}
	text := bot.KitText(words.For("en", c.Imperial), advisor.KitFor(depthM, kg, species))
	_, err = fmt.Fprintln(e.out, terminal.Wrap(text, widthOf(e.out)))
	return err
}

func speciesIn(region string) ([]*advisor.Species, error) {
	name, err := regionNamed(region)
	if name == "" || err != nil {
		return nil, err
	}
	return advisor.SpeciesIn(name), nil
}
