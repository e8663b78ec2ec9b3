package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"deepward/store/importer"
)

// answersFile is what was answered about tables in the same folder, by their headings:
// a file that people can read, change and pass on with the tables.
const answersFile = "deepward-import.json"

// rowsShown is how many rows are shown as they are understood, after each answer.
const rowsShown = 3

// answers has them by headings, as the file holds them.
type answers map[string]importer.Answers

// note takes over what was answered about a table.
func (a answers) note(talk *importer.Talk) {
	if !talk.Answers().Empty() {
		a[talk.Sheet().Headings()] = talk.Answers()
	}
}

func (c importCmd) answersPath() string {
	if c.Answers != "" {
		return c.Answers
	}
	return filepath.Join(filepath.Dir(c.File), answersFile)
}

// readAnswers reads what was answered before; no file is no answers.
func (c importCmd) readAnswers() (answers, error) {
	data, err := os.ReadFile(c.answersPath())
	if errors.Is(err, fs.ErrNotExist) {
		return answers{}, nil
	}
	kept := answers{}
	if err == nil {
		err = json.Unmarshal(data, &kept)
	}
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read (%w); mend it, or name another with --answers", c.answersPath(), err)
	}
	return kept, nil
}

// keepAnswers writes what was answered beside the table.
func (c importCmd) keepAnswers(kept answers) error {
	return writeFile(c.answersPath(), forOwner, func(w io.Writer) error {
		to := json.NewEncoder(w)
		to.SetIndent("", "  ")
		to.SetEscapeHTML(false)
		return to.Encode(kept)
	})
}

// asks is true when there is somebody to answer: at a keyboard, or as a flag says.
func (c importCmd) asks(e env) bool {
	return c.Ask || !c.Rows && !c.Keep && atKeyboard(e.in)
}

// understand reads the file by the flags and by what was answered before about tables of
// the same headings.
func (c importCmd) understand(path string, o importer.Options, kept answers) (*importer.Talk, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return importer.NewTalk(f, filepath.Base(path), o, func(headings string) importer.Answers { return kept[headings] })
}

// converse asks one thing at a time until nothing is open. stopped is true when the
// person left before.
func (c importCmd) converse(e env, lines *bufio.Scanner, talk *importer.Talk) (stopped bool) {
	for q := talk.Next(); q != nil; q = talk.Next() {
		fmt.Fprintf(e.out, "\n%s\n", q.Asks())
		for i, choice := range q.Choices {
			fmt.Fprintf(e.out, "  %d  %s\n", i+1, choice.Label)
		}
		if q.Own != nil {
			fmt.Fprintln(e.out, "     or in your own words")
		}
		if len(q.Choices) == 0 && q.Own == nil {
			fmt.Fprintln(e.out, "Mend that in the file and begin again.")
			return true
		}
		answer, ok := askLine(e, lines, "> ")
		if !ok || answer == "quit" {
			return true
		}
		if err := talk.Answer(answer); err != nil {
			fmt.Fprintf(e.out, "That is no answer here: %v.\n", err)
			continue
		}
		showRows(e.out, talk)
	}
	return false
}

func showRows(w io.Writer, talk *importer.Talk) {
	for _, line := range talk.Preview(rowsShown) {
		fmt.Fprintln(w, "   "+line)
	}
}

// askLine asks for one line; ok is false at the end of what is typed.
func askLine(e env, lines *bufio.Scanner, prompt string) (text string, ok bool) {
	fmt.Fprint(e.out, prompt)
	ok = lines.Scan()
	if !ok {
		fmt.Fprintln(e.out)
	}
	return lines.Text(), ok
}
