package export

import (
	_ "embed"
	"encoding/csv"
	"io"
	"text/template"
	"time"
)

//go:embed data/README.txt
var readmeText string

var readmeTemplate = template.Must(template.New("readme").Parse(readmeText))

// readmeData is what README.txt is filled from.
type readmeData struct {
	Title, Club, Made, Places    string
	License, LicenseURI, Contact string
	Fine, WithNames              bool
	WithWords                    bool
}

// writeAll writes one zip with every format, the definitions of the columns, and a
// page that says what was made coarser and what was left out.
func (j *job) writeAll(w io.Writer, reports Reports) error {
	z := newZip(w)
	err := j.writeParts(z, "", []part{
		{"README.txt", j.writeReadme},
		{"definitions.csv", j.writeDefinitions},
		{"log.csv", func(w io.Writer) error { return j.writeCSV(w, reports, spreadsheetCell) }},
		{"log-table.csv", func(w io.Writer) error { return j.writeCSV(w, reports, plainCell) }},
		{"log.xlsx", func(w io.Writer) error { return j.writeXLSX(w, reports) }},
		{"log.geojson", func(w io.Writer) error { return j.writeGeoJSON(w, reports) }},
	})
	if err != nil {
		return err
	}
	if err := j.writeDwCAInto(z, "darwin-core/", reports); err != nil {
		return err
	}
	return z.Close()
}

func (j *job) writeReadme(w io.Writer) error {
	return readmeTemplate.Execute(w, readmeData{
		Title: j.titled(), License: j.License.title(), LicenseURI: j.License.URI, Contact: j.Contact, Club: firstText(j.Club, "An angling club"),
		Made: j.MadeAt.Format(time.DateOnly), Places: gridCell{step: j.grid.step}.degrees(),
		Fine: j.grid.fine(), WithNames: j.WithNames, WithWords: j.WithWords,
	})
}

func (j *job) writeDefinitions(w io.Writer) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	if err := out.Write(definitionHead[:]); err != nil {
		return err
	}
	for _, c := range j.columns {
		if err := out.Write([]string{c.Name, c.Kind, c.Unit, c.Values, c.Meaning}); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}
