package report

import (
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/advisor/packed"
	"deepward/store/catch"
	"deepward/store/season"
)

// sentences are all that the page can say: what the source hands to say, and the
// words of the tables.
func sentences(t *testing.T) []string {
	t.Helper()
	files, err := os.ReadDir(".")
	require.NoError(t, err)
	found := map[string]bool{}
	for _, f := range files {
		if !strings.HasSuffix(f.Name(), ".go") || strings.HasSuffix(f.Name(), "_test.go") {
			continue
		}
		tree, err := parser.ParseFile(token.NewFileSet(), f.Name(), nil, 0)
		require.NoError(t, err)
		ast.Inspect(tree, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || len(call.Args) == 0 {
				return true
			}
			if to, ok := call.Fun.(*ast.SelectorExpr); ok && to.Sel.Name == "say" {
				if text, ok := call.Args[0].(*ast.BasicLit); ok {
					s, err := strconv.Unquote(text.Value)
					require.NoError(t, err)
					found[s] = true
				}
			}
			return true
		})
	}
	for _, words := range ways {
		found[words] = true
	}
	for _, words := range doubtWords {
		found[words] = true
	}
	for _, words := range faultWords {
		found[words] = true
	}
	for _, why := range season.Reasons() {
		found[string(why)] = true
	}
	for _, i := range intervals {
		found[i.name] = true
	}
	for m := time.January; m <= time.December; m++ {
		found[m.String()] = true
	}
	return slices.Sorted(maps.Keys(found))
}

var places = regexp.MustCompile(`%(?:\[\d+\])?[.\d]*[a-z]`)

func TestEverySentenceIsInEveryLanguage(t *testing.T) {
	all := sentences(t)
	require.Greater(t, len(all), 150)
	for _, code := range advisor.Languages[1:] {
		text := catalogues()[code]
		for _, s := range all {
			said, ok := text[s]
			if !assert.True(t, ok && said != "", "%s: %q", code, s) {
				continue
			}
			assert.ElementsMatch(t, places.FindAllString(s, -1), plainPlaces(said), "%s: %q", code, s)
		}
		for s := range text {
			assert.Contains(t, all, s, "%s: nothing says that any more", code)
		}
	}
}

// plainPlaces are the places for arguments, without their numbers.
func plainPlaces(s string) []string {
	list := places.FindAllString(s, -1)
	for i, p := range list {
		list[i] = regexp.MustCompile(`\[\d+\]`).ReplaceAllString(p, "")
	}
	return list
}

func TestFiguresHaveTheCommaOfTheLanguage(t *testing.T) {
	assert.Equal(t, []string{"1.05"}, voiceOf("en").times(1.05))
	for _, code := range []string{"es", "pt-BR", "fr"} {
		assert.Equal(t, []string{"1,05"}, voiceOf(code).times(1.05), code)
		assert.Equal(t, "0,0123", voiceOf(code).exact(0.0123), code)
		assert.Equal(t, []string{"8,6", "5,1"}, voiceOf(code).ofHundred(0.086, 0.051), code)
	}
	assert.Equal(t, "2 de enero de 2026", voiceOf("es").date(time.Date(2026, 1, 2, 0, 0, 0, 0, time.UTC)))
	assert.NotEqual(t, voiceOf("fr").shortMonth(time.June), voiceOf("fr").shortMonth(time.July))
}

// Each language says the whole page of a log: no sentence is left in English.
func TestPageIsInItsLanguage(t *testing.T) {
	for _, code := range advisor.Languages[1:] {
		r, err := Build(func(yield func(*catch.Report, error) bool) {
			for i := range 60 {
				m := []advisor.Method{advisor.Recompressed, advisor.Surface, advisor.Vented}[i%3]
				one := &catch.Report{
					Species: "Lutjanus campechanus", SpeciesSure: true, CaughtAt: time.Date(2026, 3, 1+i%28, 9, 0, 0, 0, time.UTC),
					Capture: advisor.Capture{DepthM: new(30 + float64(i)/2)}, Release: advisor.Release{Method: m, Tag: strconv.Itoa(i), Outcome: advisor.SwamDown},
				}
				again := &catch.Report{Release: advisor.Release{Recapture: true, Tag: one.Tag}, Species: one.Species, SpeciesSure: true, CaughtAt: one.CaughtAt.AddDate(0, 2, 0)}
				if !yield(one, nil) || i%5 == 0 && !yield(again, nil) {
					return
				}
			}
		}, Options{Language: code, MadeAt: time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)})
		require.NoError(t, err)
		var page strings.Builder
		require.NoError(t, r.WriteHTML(&page))
		assert.Contains(t, page.String(), `<html lang="`+code+`">`)
		body, _, _ := strings.Cut(page.String(), "<script")
		_, body, _ = strings.Cut(body, "<body>")
		for _, english := range []string{" the ", " of ", " fish", "seen again", " to ", "March"} {
			assert.NotContains(t, body, english, code)
		}
	}
}

func TestSheetsArePackedAsTheyStand(t *testing.T) {
	names, err := filepath.Glob("words/*.json")
	require.NoError(t, err)
	assert.Len(t, names, len(advisor.Languages)-1, "English is the key")
	for _, name := range names {
		sheet, err := os.ReadFile(name)
		require.NoError(t, err)
		gzip, err := wordFiles.ReadFile(name + ".gz")
		require.NoError(t, err)
		assert.True(t, string(sheet) == string(packed.Open(gzip)), "%s has changed: go generate ./store/report", name)
	}
}
