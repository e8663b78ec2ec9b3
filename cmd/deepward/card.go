package main

import (
	"errors"
	"fmt"
	"os"

	"deepward/bot/files"
)

// cardCmd writes the pocket card.
type cardCmd struct {
	Weights  []float64 `help:"Release weights aboard in oz; the common 20,40 by default."`
	Region   string    `help:"Only the fish of that region."`
	Imperial bool      `help:"Write feet and pounds."`
	Out      string    `help:"Page to write." type:"path" short:"o" default:"release-weights.html"`
}

func (cardCmd) Help() string {
	return `Example: deepward card --weights 20,40,60 --region hawaii -o card.html`
}

func (c cardCmd) Run(e env) error {
	species, err := speciesIn(c.Region)
	if err != nil {
		return err
	}
	for _, oz := range c.Weights {
		if oz <= 0 || oz > 500 {
			return usage("a release weight of %v oz cannot be right", oz)
		}
	}
	f, err := os.Create(c.Out)
	if err != nil {
		return err
	}
	if err := errors.Join(files.WriteCard(f, c.Weights, species, c.Imperial, e.now()), f.Close()); err != nil {
		return err
	}
	fmt.Fprintf(e.out, "%s: open it, or print it on A5\n", c.Out)
	return nil
}
