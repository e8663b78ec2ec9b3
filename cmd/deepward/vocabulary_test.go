package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"deepward/advisor"
	"deepward/bot/draw"
	"deepward/bot/understand"
	"deepward/bot/understand/learned"
	"deepward/bot/words"
	"deepward/store/catch"
	"deepward/store/export"
	"deepward/store/importer"
)

// word is one value of the closed vocabulary of a fish: how it is heard of a fish, and put
// into and read from a report.
type word struct {
	kind, value string
	heard       func(understand.Fish) bool
	put         func(*catch.Report)
	kept        func(*catch.Report) bool
}

// terms are all values of all tables.
func terms() (list []word) {
	for _, v := range advisor.Signs {
		list = append(list, word{"sign", string(v), func(f understand.Fish) bool { return slices.Contains(f.Query.Signs, v) },
			func(r *catch.Report) { r.Signs, r.SignsLooked = []advisor.Sign{v}, true },
			func(r *catch.Report) bool { return slices.Contains(r.Signs, v) }})
	}
	for _, v := range advisor.Hooks {
		list = append(list, word{"hook", string(v), func(f understand.Fish) bool { return f.Query.Hook == v },
			func(r *catch.Report) { r.Hook = v }, func(r *catch.Report) bool { return r.Hook == v }})
	}
	for _, v := range advisor.Behaviours {
		list = append(list, word{"behaviour", string(v), func(f understand.Fish) bool { return f.Query.Behaviour == v },
			func(r *catch.Report) { r.Behaviour = v }, func(r *catch.Report) bool { return r.Behaviour == v }})
	}
	for _, v := range advisor.Methods {
		list = append(list, word{"method", string(v), func(f understand.Fish) bool { return f.Done.Method == v },
			func(r *catch.Report) { r.Method = v }, func(r *catch.Report) bool { return r.Method == v }})
	}
	for _, v := range advisor.Outcomes {
		list = append(list, word{"outcome", string(v), func(f understand.Fish) bool { return f.Done.Outcome == v },
			func(r *catch.Report) { r.Outcome = v }, func(r *catch.Report) bool { return r.Outcome == v }})
	}
	return list
}

// phrases are the messages of testdata/vocabulary.csv by kind, value and language.
func phrases(t *testing.T) map[[3]string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "vocabulary.csv"))
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	list := map[[3]string]string{}
	for _, row := range rows[1:] {
		list[[3]string{row[0], row[1], row[2]}] = row[3]
	}
	return list
}

// Every value is read from words in each language, and has words of its own in each.
func TestEveryTermIsHeardAndSaidInEachLanguage(t *testing.T) {
	reader, said := understand.NewReader(), phrases(t)
	for _, x := range terms() {
		for _, lang := range advisor.BaseLanguages() {
			text := said[[3]string{x.kind, x.value, lang}]
			require.NotEmpty(t, text, "%s %s in %s: a row is missing in vocabulary.csv", x.kind, x.value, lang)
			fish := reader.Read(text, understand.Setting{Language: lang}, learned.Context{}).Fish
			assert.True(t, len(fish) > 0 && x.heard(fish[0]), "%s %s in %s is not heard in %q: %+v", x.kind, x.value, lang, text, fish)
		}
		inEach(t, x.kind+"."+x.value, "")
	}
}

// inEach finds a sentence in every language, in words of its own.
func inEach(t *testing.T, key string, not string) {
	t.Helper()
	said := map[string]string{}
	for _, lang := range advisor.BaseLanguages() {
		text := words.For(lang, false).Say(key)
		assert.NotEqual(t, key, text, lang)
		assert.NotEqual(t, not, text, lang)
		for other, same := range said {
			assert.NotEqual(t, same, text, "%s is the same in %s and %s", key, lang, other)
		}
		said[lang] = text
	}
}

// Every request is heard in each language, and what does it is described in each.
func TestEveryRequestIsHeardInEachLanguage(t *testing.T) {
	reader, said := understand.NewReader(), phrases(t)
	for _, r := range understand.Requests {
		for _, lang := range advisor.BaseLanguages() {
			text := said[[3]string{"request", string(r.Want), lang}]
			require.NotEmpty(t, text, "%s in %s: a row is missing in vocabulary.csv", r.Want, lang)
			heard := reader.Read(text, understand.Setting{Language: lang}, learned.Context{})
			if r.Want == understand.WantFirstAid {
				assert.True(t, heard.Hurt, "%s: %s", lang, text)
				continue
			}
			assert.Equal(t, r.Want, heard.Want, "%s: %s", lang, text)
			assert.Equal(t, r.Act, heard.Act, "%s: %s", lang, text)
		}
		if verb := r.Want.Verb(); verb != "" {
			inEach(t, "about."+verb, "")
		}
	}
	inEach(t, "hurt.first_aid", "")
}

// logOf is a log with one fish of each term.
func logOf() (log []*catch.Report) {
	for i, x := range terms() {
		depth := 40.0
		at := time.Date(2026, 5, 2, 12, i, 0, 0, time.UTC)
		r := &catch.Report{
			Number: uint64(i + 1), Chat: 1, CaughtAt: at, SavedAt: at, Season: "s", Species: "Mycteroperca microlepis",
			SpeciesGiven: "Gag grouper", SpeciesSure: true, Capture: advisor.Capture{DepthM: &depth},
		}
		x.put(r)
		log = append(log, r)
	}
	return log
}

// Every value leaves in each format by its name, and comes back in from the table.
func TestEveryTermGoesOutAndComesBackIn(t *testing.T) {
	log := logOf()
	walk := catch.Listed(log)
	var table bytes.Buffer
	for _, f := range []export.Format{export.Table, export.CSV, export.GeoJSON} {
		var out bytes.Buffer
		require.NoError(t, export.Write(context.Background(), &out, walk, export.Options{Format: f, MadeAt: time.Unix(0, 0)}))
		for _, x := range terms() {
			assert.Contains(t, out.String(), x.value, "%s %s in %s", x.kind, x.value, f)
		}
		if f == export.Table {
			table = out
		}
	}
	sheet, err := importer.Read(bytes.NewReader(table.Bytes()), "log.csv", importer.Options{
		Zone: time.UTC, FindSpecies: func(name string) (string, bool) { return name, true },
	})
	require.NoError(t, err)
	require.NoError(t, sheet.Ready())
	var back []*catch.Report
	for e := range sheet.Entries() {
		back = append(back, e.Report)
	}
	require.Len(t, back, len(log))
	for i, x := range terms() {
		assert.True(t, x.kept(back[i]), "%s %s did not come back: %+v", x.kind, x.value, back[i])
	}
}

// Every sign is drawn with its words in each language; every language has each sheet.
func TestEverySignIsDrawnInEachLanguage(t *testing.T) {
	for _, lang := range advisor.Languages {
		labels := draw.In(lang, false)
		require.Equal(t, lang, labels.Language, "a sheet of labels")
		var picture bytes.Buffer
		require.NoError(t, draw.Lesson(draw.Signs, labels, &picture, draw.SVG))
		for _, sign := range advisor.Signs {
			label := labels.Text["signs."+string(sign)]
			require.NotEmpty(t, label, "%s: no label for %s", lang, sign)
			if first, _, _ := strings.Cut(label, " "); lang == "en" {
				assert.Contains(t, picture.String(), first, sign)
			}
		}
		assert.Equal(t, lang, words.For(lang, false).Tag(), "a catalogue of sentences")
		_, err := os.Stat(filepath.Join("..", "..", "store", "report", "words", lang+".json"))
		assert.True(t, lang == "en" || err == nil, "a sheet of the season report in %s", lang)
		assert.NotEmpty(t, words.For(lang, false).Say("language.name"))
		tag := language.MustParse(lang)
		assert.Contains(t, words.Languages, tag, fmt.Sprint(tag))
	}
}
