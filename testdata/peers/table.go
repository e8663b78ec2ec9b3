package main

import (
	"fmt"
	"io"
	"math"
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

// table writes rows as Markdown, each as soon as it is measured: a run that is cut short
// has told what it had.
type table struct {
	w     io.Writer
	begun bool
}

// add writes a row, below the head of the table if it is the first.
func (t *table) add(r row) {
	if !t.begun {
		fmt.Fprint(t.w, "| what | figure | beside | its figure | ratio | note |\n|---|---|---|---|---|---|\n")
		t.begun = true
	}
	other, ratio := "", ""
	if r.other != 0 {
		other, ratio = short(r.other)+" "+r.unit, fmt.Sprintf("%.2f", r.figure/r.other)
	}
	fmt.Fprintf(t.w, "| %s | %s %s | %s | %s | %s | %s |\n", r.what, short(r.figure), r.unit, r.peer, other, ratio, r.note)
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
