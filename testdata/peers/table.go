package main

import (
	"fmt"
	"io"
	"math"
	"text/tabwriter"
)

// row is one figure beside that of a peer; peer is empty for an aim alone.
type row struct {
	what   string
	figure float64
	unit   string
	peer   string
	other  float64
	note   string
}

type table []row

// add puts a row in.
func (t *table) add(r row) { *t = append(*t, r) }

// print writes the table as Markdown.
func (t table) print(w io.Writer) error {
	tab := tabwriter.NewWriter(w, 0, 0, 1, ' ', 0)
	fmt.Fprintln(tab, "| what\t| figure\t| beside\t| its figure\t| ratio\t| note\t|")
	fmt.Fprintln(tab, "|---\t|---\t|---\t|---\t|---\t|---\t|")
	for _, r := range t {
		other, ratio := "", ""
		if r.other != 0 {
			other, ratio = short(r.other)+" "+r.unit, fmt.Sprintf("%.2f", r.figure/r.other)
		}
		fmt.Fprintf(tab, "| %s\t| %s %s\t| %s\t| %s\t| %s\t| %s\t|\n", r.what, short(r.figure), r.unit, r.peer, other, ratio, r.note)
	}
	return tab.Flush()
}

// short writes three digits that count, with commas in thousands.
func short(x float64) string {
	if x < 100 {
		return fmt.Sprintf("%.3g", x)
	}
	unit := math.Pow(10, math.Floor(math.Log10(x))-2)
	text := fmt.Sprintf("%.0f", math.Round(x/unit)*unit)
	for i := len(text) - 3; i > 0; i -= 3 {
		text = text[:i] + "," + text[i:]
	}
	return text
}
