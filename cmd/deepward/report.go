package main

import (
	"fmt"
	"io"

	"deepward/store"
	"deepward/store/report"
	"deepward/store/season"
)

// reportCmd writes the season report.
type reportCmd struct {
	storeFlags
	filterFlags
	Out   string `help:"Page to write." type:"path" short:"o" default:"season.html"`
	Club  string `help:"Name of the club."`
	Title string `help:"Title of the page."`
	Seed  uint64 `help:"The same seed gives the same range." default:"1"`
}

func (reportCmd) Help() string { return `Example: deepward report --season Spring -o season.html` }

func (c reportCmd) Run(e env) error {
	filter, err := c.filter()
	if err != nil {
		return err
	}
	s, err := c.openExisting(e)
	if err != nil {
		return err
	}
	defer s.Close()
	var findings season.Findings
	err = s.View(func(tx *store.Tx) (err error) {
		findings, err = season.Find(tx.Reports(filter), c.Seed)
		return err
	})
	if err != nil {
		return err
	}
	heading := report.Heading{Title: c.Title, Club: c.Club, MadeAt: e.now()}
	if err := writeFile(c.Out, func(w io.Writer) error { return report.Write(w, findings, heading) }); err != nil {
		return err
	}
	fmt.Fprintf(e.out, "%s: open it, or print it on A4\n", c.Out)
	return nil
}
