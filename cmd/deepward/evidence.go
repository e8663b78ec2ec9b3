package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"deepward/advisor"
	"deepward/advisor/evidenceplot"
	"deepward/bot/understand"
)

// evidenceCmd shows the studies behind the odds of a fish.
type evidenceCmd struct {
	Region  string   `help:"Where you fish: settles which fish a name means."`
	Plot    string   `help:"Also draw survival against depth into this file, .png or .svg." type:"path"`
	Species []string `arg:"" help:"The fish, as anglers call it."`
}

func (evidenceCmd) Help() string {
	return `Example:

    deepward evidence red snapper --plot odds.png`
}

func (c evidenceCmd) Run(e env) error {
	s, err := c.find()
	if err != nil {
		return err
	}
	if err := advisor.WriteEvidence(e.out, s); err != nil {
		return err
	}
	if c.Plot == "" {
		return nil
	}
	return c.draw(s)
}

// find settles on one fish; a name that fits several is asked back.
func (c evidenceCmd) find() (*advisor.Species, error) {
	name := strings.Join(c.Species, " ")
	region, err := regionNamed(c.Region)
	if err != nil {
		return nil, err
	}
	fish, sure := understand.NewReader().FindSpecies(name, understand.Setting{Region: region})
	switch {
	case len(fish) == 0:
		return nil, fmt.Errorf("nobody here knows a fish called %q; try its scientific name", name)
	case !sure && len(fish) > 1:
		return nil, fmt.Errorf("%q may be %s or %s; say which, or name the region with --region", name, fish[0].EnglishName, fish[1].EnglishName)
	}
	return fish[0], nil
}

func (c evidenceCmd) draw(s *advisor.Species) error {
	format := strings.TrimPrefix(strings.ToLower(filepath.Ext(c.Plot)), ".")
	if format != "png" && format != "svg" {
		return usage("--plot takes a file that ends in .png or .svg")
	}
	return writeFile(c.Plot, forAll, func(w io.Writer) error { return evidenceplot.Draw(w, s, format) })
}
