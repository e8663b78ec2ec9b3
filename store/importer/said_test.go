package importer

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
)

// sayers are the functions whose sentences people see.
var sayers = map[string]bool{"ask": true, "note": true, "people": true, "problem": true, "offer": true, "offerRecaptures": true}

// sentencesInCode are the English formats that the sources hand to them.
func sentencesInCode(t *testing.T) (list []string) {
	t.Helper()
	sources, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, path := range sources {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		require.NoError(t, err)
		ast.Inspect(file, func(n ast.Node) bool {
			switch x := n.(type) {
			case *ast.CallExpr:
				if f, ok := x.Fun.(*ast.SelectorExpr); ok && sayers[f.Sel.Name] {
					list = append(list, longest(x.Args))
				}
			case *ast.CompositeLit:
				if name, ok := x.Type.(*ast.Ident); ok && name.Name == "Said" {
					list = append(list, longest(x.Elts))
				}
			}
			return true
		})
	}
	return list
}

// longest is the longest text among arguments: the sentence.
func longest(args []ast.Expr) (text string) {
	for _, arg := range args {
		if kv, ok := arg.(*ast.KeyValueExpr); ok {
			arg = kv.Value
		}
		if lit, ok := arg.(*ast.BasicLit); ok && lit.Kind == token.STRING {
			if s, err := strconv.Unquote(lit.Value); err == nil && len(s) > len(text) {
				text = s
			}
		}
	}
	return text
}

func TestEverySentenceStandsInEveryLanguage(t *testing.T) {
	list := sentencesInCode(t)
	require.Greater(t, len(list), 80)
	for _, f := range []field{fieldMethod, fieldDate, fieldDepth, fieldTag, fieldBleeding, fieldReleaseDepth, field(signPrefix + "bulging_eyes"), field(outcomePrefix + "died")} {
		list = append(list, f.says())
	}
	for _, err := range []error{errNoFigure, errTwoWays, errNoUnit, errWrongUnit, errBound, errNoDate, errNoDay, errNoClock, errOrder} {
		list = append(list, err.Error())
	}
	for _, language := range advisor.BaseLanguages()[1:] {
		known := sentences(language)
		for _, english := range list {
			key := plain(english)
			if key == "" || key == "%s" || key == "in %q (%s) these are not understood: %s" { // people are asked of one word
				continue
			}
			said, ok := known[key]
			assert.True(t, ok, "%s lacks %q", language, key)
			assert.Equal(t, len(verbs(key)), len(verbs(said)), "%s: %s", language, key)
		}
	}
	for english, said := range sentences("en") {
		assert.Equal(t, len(verbs(english)), len(verbs(said)), english)
	}
}

func TestLanguagesHaveTheSameSentences(t *testing.T) {
	for english := range sentences("es") {
		assert.True(t, sentences("pt")[english] != "" && sentences("fr")[english] != "", english)
	}
	for english := range sentences("en") {
		assert.NotEmpty(t, sentences("es")[english], english)
	}
}

// What is asked and noted of every table that was taken in, said in Spanish, has no
// English sentence left in it and no flag.
func TestTablesAreSpokenOfInTheReadersLanguage(t *testing.T) {
	tables, err := filepath.Glob("../../testdata/tables/*.csv")
	require.NoError(t, err)
	require.NotEmpty(t, tables)
	said := 0
	for _, path := range tables {
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		s, err := Read(strings.NewReader(string(data)), filepath.Base(path), options())
		if err != nil {
			continue
		}
		check := func(x Said) {
			said++
			assert.NotContains(t, x.In("es"), "--", path)
			assert.NotContains(t, x.In("es"), "%!", path)
			if key := plain(x.format); key != "%s" {
				assert.NotEmpty(t, sentences("es")[key], "%s: %q", path, key)
			}
		}
		for _, q := range s.Questions {
			check(q.said)
			for _, c := range q.Choices {
				check(c.said)
			}
		}
		for _, n := range s.Notes {
			check(n)
		}
		for p := range s.Problems() {
			check(p.Says)
		}
	}
	assert.Greater(t, said, 100)
}
