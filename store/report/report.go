// Package report writes the season report for people who do not read statistics:
// one page to open or print, a few lines for the chat, and one picture. What cannot
// be concluded stands beside each result.
package report

import (
	"cmp"
	_ "embed"
	"html/template"
	"io"
	"iter"
	"time"

	"deepward/store/catch"
	"deepward/store/season"
)

// Options choose what stands on the report. The zero value is the usual way.
type Options struct {
	// Title and Club head the page; Club may be "".
	Title, Club string
	// MadeAt is the day of the report; zero leaves it out.
	MadeAt time.Time
	Season season.Options
	// Language is that of the page, en, es, pt or fr; "" is English.
	Language string
}

// Report is a season added up, ready to be shown.
type Report struct {
	Findings season.Findings
	options  Options
	voice
}

// Build reads a log in one pass and adds it up. The error is the first that reports
// yields.
func Build(reports iter.Seq2[*catch.Report, error], o Options) (*Report, error) {
	f, err := season.Find(reports, o.Season)
	if err != nil {
		return nil, err
	}
	v := voiceOf(o.Language)
	if o.Title == "" {
		o.Title = v.say("What the season achieved")
	}
	return &Report{f, o, v}, nil
}

// Head names the season and the club over the report, for where they are known only once
// it was read; "" leaves what stands there.
func (r *Report) Head(title, club string) {
	r.options.Title, r.options.Club = cmp.Or(title, r.options.Title), cmp.Or(club, r.options.Club)
}

//go:embed page.html
var pageText string

// The page as one template; it loads nothing from outside.
var page = template.Must(template.New("page").Parse(pageText))

// view is the page in words, tables and pictures; there is nothing left to reckon.
type view struct {
	Language               string
	ReportsCannot, Cannots string
	// Unfold is on the button that shows tables where the screen is narrow.
	Unfold                  string
	Title, Club, Span, Made string
	Headline, Hedge         string
	// Invented is the warning above a page of made-up reports, "" for others.
	Invented string
	Figures  []figure
	Cannot   []string
	Sections []section
	// Datasheet holds all figures unrounded, for programs.
	Datasheet datasheet
}

// figure is one large number and what it counts.
type figure struct{ Number, Says string }

// section is one result with what it does not show.
type section struct {
	Title string
	Says  []line
	Chart template.HTML
	// Tables follow the text, Small is the small print below them.
	Tables []table
	Small  []string
	// Cannot is what nobody can conclude, beside the result.
	Cannot []string
	// Wide sections use the whole width.
	Wide bool
}

// line is a paragraph: what matters first, and the rest.
type line struct{ Lead, Text string }

// table has its first column to the left, the others to the right.
type table struct {
	Title string
	Head  []string
	Rows  [][]string
	Note  string
}

// WriteHTML writes the page: one file that loads and runs nothing, made to be printed
// on A4.
func (r *Report) WriteHTML(w io.Writer) error {
	sections, err := r.sections()
	if err != nil {
		return err
	}
	v := view{
		Language: r.code(), ReportsCannot: r.say("What this page cannot tell you"), Cannots: r.say("What you cannot conclude"), Unfold: r.say("Show or hide the figures"),
		Title: r.options.Title, Club: r.options.Club, Span: r.span(), Headline: r.headline(), Hedge: r.hedge(),
		Figures: r.figures(), Cannot: r.general(), Sections: sections, Datasheet: r.datasheet(),
	}
	if r.Findings.Invented > 0 {
		v.Invented = r.invented()
	}
	if !r.options.MadeAt.IsZero() {
		v.Made = r.say("made %s", r.date(r.options.MadeAt))
	}
	return page.Execute(w, v)
}

// sections are the results in the order in which they are told.
func (r *Report) sections() ([]section, error) {
	var list []section
	for _, make := range []func() (section, error){r.alive, r.months, r.boat, r.kinds, r.tagged, r.fish, r.trust, r.full, r.sources} {
		s, err := make()
		if err != nil {
			return nil, err
		}
		if s.Title != "" {
			list = append(list, s)
		}
	}
	return list, nil
}
