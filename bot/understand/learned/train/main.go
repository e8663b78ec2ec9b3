// Command train writes the labelled texts in the form that train.py learns from: cut
// into words and tagged by the program's own scanner, with its word lists beside them.
//
//	go run ./bot/understand/learned/train -texts testdata/texts -out /tmp/reader
package main

import (
	"bufio"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"deepward/advisor"
	"deepward/bot/understand"
)

func main() {
	texts := flag.String("texts", "testdata/texts", "folder of labelled texts")
	out := flag.String("out", "/tmp/reader", "folder to write to")
	flag.Parse()
	if err := run(*texts, *out); err != nil {
		fmt.Fprintln(os.Stderr, "train:", err)
		os.Exit(1)
	}
}

func run(texts, out string) error {
	if err := os.MkdirAll(out, 0o755); err != nil {
		return err
	}
	if err := writeLexicon(filepath.Join(out, "lexicon.json")); err != nil {
		return err
	}
	files, err := filepath.Glob(filepath.Join(texts, "*.jsonl"))
	if err != nil {
		return err
	}
	to, err := os.Create(filepath.Join(out, "examples.jsonl"))
	if err != nil {
		return err
	}
	defer to.Close()
	w := bufio.NewWriter(to)
	for _, file := range files {
		if err := writeSet(w, file); err != nil {
			return fmt.Errorf("%s: %w", file, err)
		}
	}
	if err := w.Flush(); err != nil {
		return err
	}
	return to.Close()
}

// lexiconFile is the lexicon as train.py reads it, with the names to swap in.
type lexiconFile struct {
	Concepts []string            `json:"concepts"`
	Phrases  map[string][]int    `json:"phrases"`
	Names    map[string]uint8    `json:"names"`
	Swap     map[string][]string `json:"swap"`
}

func writeLexicon(path string) error {
	l := understand.Lexicon()
	f := lexiconFile{l.Concepts, l.Phrases, understand.NameMarks(), map[string][]string{}}
	for _, n := range advisor.GazetteerNames() {
		if n.Screened && n.Everyday == "" && n.Taxon != "-" {
			f.Swap[n.Language] = append(f.Swap[n.Language], strings.Join(understand.NewExample(n.Name, nil).Words, " "))
		}
	}
	b, err := json.Marshal(f)
	if err != nil {
		return err
	}
	return os.WriteFile(path, b, 0o644)
}

func writeSet(w *bufio.Writer, file string) error {
	set := strings.TrimSuffix(filepath.Base(file), ".jsonl")
	in, err := os.Open(file)
	if err != nil {
		return err
	}
	defer in.Close()
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	lines := bufio.NewScanner(in)
	lines.Buffer(nil, 1<<20)
	for n := 1; lines.Scan(); n++ {
		if strings.TrimSpace(lines.Text()) == "" {
			continue
		}
		var e entry
		if err := json.Unmarshal(lines.Bytes(), &e); err != nil {
			return fmt.Errorf("line %d: %w", n, err)
		}
		for _, x := range e.examples(set) {
			if err := enc.Encode(x); err != nil {
				return err
			}
		}
	}
	return lines.Err()
}

// sortedKeys are the keys of a map in order, so that the same texts give the same file.
func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
