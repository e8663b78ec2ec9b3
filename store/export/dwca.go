package export

import (
	"archive/zip"
	_ "embed"
	"encoding/xml"
	"io"
	netmail "net/mail"
	"strings"
	"text/template"
	"time"
)

// termsURL begins the name of every Darwin Core term.
const termsURL = "http://rs.tdwg.org/dwc/terms/"

// writeDwCA writes a Darwin Core Archive: meta.xml, eml.xml, the occurrences and
// what was measured on them. It walks the log three times: to look it over, and once
// for each table.
func (j *job) writeDwCA(w io.Writer, reports Reports) error {
	z := newZip(w)
	if err := j.writeDwCAInto(z, "", reports); err != nil {
		return err
	}
	return z.Close()
}

// part is one file of a zip.
type part struct {
	name  string
	write func(io.Writer) error
}

func (j *job) writeDwCAInto(z *zip.Writer, folder string, reports Reports) error {
	covered, links, err := j.lookOver(reports)
	if err != nil {
		return err
	}
	return j.writeParts(z, folder, []part{
		{"meta.xml", j.writeMeta},
		{"eml.xml", func(w io.Writer) error { return j.writeEML(w, covered) }},
		{"occurrence.csv", func(w io.Writer) error { return j.writeOccurrences(w, reports, links) }},
		{"measurementorfact.csv", func(w io.Writer) error { return j.writeMeasurements(w, reports) }},
	})
}

// lookOver walks the log for what eml.xml says of all of it, and for the tags.
func (j *job) lookOver(reports Reports) (coverage, *encounters, error) {
	covered, links := newCovering(), newEncounters()
	for r, err := range reports {
		if err != nil {
			return coverage{}, nil, err
		}
		covered.add(j.of(r))
		links.add(r)
	}
	links.link()
	return covered.all(j.grid), links, nil
}

func (j *job) writeParts(z *zip.Writer, folder string, parts []part) error {
	for _, p := range parts {
		entry, err := z.CreateHeader(&zip.FileHeader{Name: folder + p.name, Method: zip.Deflate, Modified: j.MadeAt})
		if err != nil {
			return err
		}
		if err := writeBehind(entry, p.write); err != nil {
			return err
		}
	}
	return nil
}

//go:embed data/meta.xml
var metaXML string

//go:embed data/eml.xml
var emlXML string

var (
	metaTemplate = template.Must(template.New("meta").Parse(metaXML))
	emlTemplate  = template.Must(template.New("eml").Funcs(template.FuncMap{"xml": escapeXML}).Parse(emlXML))
)

// metaData is what meta.xml is filled from: the columns of both tables.
type metaData struct {
	URL          string
	Occurrence   []string
	Measurements []string // whole names
	License      string
}

func (j *job) writeMeta(w io.Writer) error {
	d := metaData{URL: termsURL, License: j.License.URI}
	for _, name := range measurementColumns {
		d.Measurements = append(d.Measurements, termOf(name))
	}
	for _, t := range occurrenceTerms {
		d.Occurrence = append(d.Occurrence, t.name)
	}
	return metaTemplate.Execute(w, d)
}

// emlData is what eml.xml is filled from.
type emlData struct {
	ID, Title, Club, Date, Places, Times string
	License, LicenseURI                  string
	ContactName, ContactMail             string
	Invented                             bool
	coverage
}

// titled is the title of the log; made-up reports are called that.
func (j *job) titled() string {
	title := firstText(j.Title, "Season release log")
	if j.Invented {
		title = "INVENTED DATA: " + title
	}
	return title
}

func (j *job) writeEML(w io.Writer, covered coverage) error {
	name, mail := contactOf(j.Contact)
	d := emlData{
		License: j.License.title(), LicenseURI: j.License.URI, ContactName: name, ContactMail: mail, Invented: j.Invented, coverage: covered,
		ID:    "deepward-" + j.MadeAt.UTC().Format("20060102T150405Z"),
		Title: j.titled(), Club: firstText(j.Club, "An angling club"),
		Date: j.MadeAt.Format(time.DateOnly), Places: gridCell{step: j.grid.step}.degrees(), Times: "hour",
	}
	if j.Dataset != "" {
		d.ID = j.Dataset + "/" + d.ID
	}
	if j.grid.fine() {
		d.Times = "minute"
	}
	return emlTemplate.Execute(w, d)
}

// contactOf is a person's name and address, from "Name <address>", one of them or none.
func contactOf(text string) (name, mail string) {
	if a, err := netmail.ParseAddress(text); err == nil {
		return a.Name, a.Address
	}
	return strings.TrimSpace(text), ""
}

func escapeXML(s string) (string, error) {
	var b strings.Builder
	err := xml.EscapeText(&b, []byte(s))
	return b.String(), err
}

func firstText(a, b string) string {
	if a != "" {
		return a
	}
	return b
}
