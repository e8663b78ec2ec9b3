package bot

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/bot/words"
	"deepward/store/export"
	"deepward/store/season"
)

// built are the values of each key that the code builds of a beginning and a value, by
// its beginning: from the tables of the closed vocabulary where there is one.
var built = map[string][]string{
	"sign.": codes(advisor.Signs[:]), "hook.": codes(advisor.Hooks[:]), "behaviour.": codes(advisor.Behaviours[:]),
	"method.": codes(advisor.Methods[:]), "outcome.": codes(advisor.Outcomes[:]), "length.": codes(advisor.LengthTypes[:]),
	"step.": steps, "lesson.": {"signs", "weights", "whennot"}, "report.": {"sheet", "page"},
	"doubt.":    {DoubtSizeForLength, DoubtSizeForSpecies, DoubtDepthForSpecies, DoubtReleaseDeeper},
	"evidence.": {advisor.LevelSpecies, advisor.LevelGroup, advisor.LevelGeneral},
	"tag.":      codes([]season.Fault{season.FaultTwice, season.FaultBefore, season.FaultShrank, season.FaultSpecies}),
	"license.":  licenseKeys(), "mydata.": dataLines(), "pastword.": {pastKeep, pastBack, pastLeave},
	"units.": {unitsMetric, unitsImperial, unitsFathoms}, "unit.": unitNames(), "kind.": gasKinds(),
}

// dataLines are the lines of what is kept of a person, as bot/files/mydata.go writes them.
func dataLines() (list []string) {
	source, err := os.ReadFile("files/mydata.go")
	if err != nil {
		panic(err)
	}
	for _, m := range regexp.MustCompile(`\bd\.(?:line|told|number|figure|yes)\("([a-z_]+)"[,)]`).FindAllStringSubmatch(string(source), -1) {
		list = append(list, m[1])
	}
	return append(list, "habit.depth", "habit.weight", "habit.length")
}

// licenseKeys are the licences that are offered.
func licenseKeys() (list []string) {
	for _, l := range export.Licenses {
		list = append(list, l.Key)
	}
	return list
}

// unitNames are the units that people tell figures in.
func unitNames() (list []string) {
	for _, u := range talk.DepthUnits {
		list = append(list, u.Name)
	}
	return append(list, "kilograms", "pounds", "centimetres", "inches")
}

// gasKinds are the kinds of fish of the gas table that weights are carried for.
func gasKinds() (list []string) {
	for _, s := range advisor.Catalogue() {
		if kind := s.Gas().Kind; s.TrapsGas() && !slices.Contains(list, kind) {
			list = append(list, kind)
		}
	}
	return list
}

func codes[T ~string](list []T) (out []string) {
	for _, x := range list {
		out = append(out, string(x))
	}
	return out
}

// said are the keys of sentences in a source file: those written out, and the beginnings
// of those that are built.
func said(t *testing.T, file string) (keys, beginnings []string) {
	source, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
	require.NoError(t, err)
	speaks := slices.ContainsFunc(source.Imports, func(i *ast.ImportSpec) bool { return i.Path.Value == `"deepward/bot/words"` })
	ast.Inspect(source, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			if len(n.Args) > 0 && says(n.Fun) {
				if key, begins := keyOf(n.Args[0]); begins {
					beginnings = append(beginnings, key)
				} else if key != "" {
					keys = append(keys, key)
				}
			}
		case *ast.AssignStmt: // key := "kind." + kind
			for _, x := range n.Rhs {
				if key, begins := keyOf(x); begins && speaks && strings.HasSuffix(key, ".") {
					beginnings = append(beginnings, key)
				}
			}
		}
		return true
	})
	return keys, beginnings
}

// says is true for what says the sentence of its first argument.
func says(f ast.Expr) bool {
	s, ok := f.(*ast.SelectorExpr)
	return ok && slices.Contains([]string{"Say", "tell", "notice", "headline"}, s.Sel.Name)
}

// keyOf is the key that is written out, or the beginning of one that is built; "" for
// what only the running program knows.
func keyOf(x ast.Expr) (key string, begins bool) {
	switch x := x.(type) {
	case *ast.BasicLit:
		key, _ = strconv.Unquote(x.Value)
		return key, false
	case *ast.BinaryExpr:
		key, _ = keyOf(x.X)
		return key, key != ""
	}
	return "", false
}

// Every key that the code says, written out or built of a value, and every code of the
// core, has a sentence; what is missing in a language the tests of words tell.
func TestEverySentenceExists(t *testing.T) {
	coded := regexp.MustCompile(`NoteCode = "([a-z_.]+)"`)
	var files []string
	for _, pattern := range []string{"*.go", "*/*.go", "../advisor/*.go"} {
		list, err := filepath.Glob(pattern)
		require.NoError(t, err)
		files = append(files, slices.DeleteFunc(list, func(f string) bool { return strings.HasSuffix(f, "_test.go") })...)
	}
	found := 0
	for _, file := range files {
		keys, beginnings := said(t, file)
		for _, key := range keys {
			if strings.Contains(key, ".") {
				assert.True(t, words.Has(key), "%s says %q, which en.json lacks", file, key)
				found++
			}
		}
		for _, b := range beginnings {
			assert.Contains(t, built, b, "%s builds a sentence key of %q and a value: which ones?", file, b)
		}
		source, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, m := range coded.FindAllStringSubmatch(string(source), -1) {
			assert.True(t, words.Has(m[1]), "%s says %q, which en.json lacks", file, m[1])
		}
	}
	for beginning, values := range built {
		for _, v := range values {
			assert.True(t, words.Has(beginning+v), beginning+v)
		}
	}
	for _, c := range Commands {
		assert.True(t, words.Has(c.Key), c.Key)
	}
	assert.Greater(t, found, 300)
}

// What help and the buttons teach must work as it is written there, in each language.
func TestHelpTeachesWordsThatWork(t *testing.T) {
	reader := understand.NewReader()
	for language, taught := range map[string]string{
		"en": "why|how|signs|weights|when not|venting|mine|undo 12|my weights 20 40 oz|my units feet",
		"es": "¿por qué?|¿cómo?|signos|qué peso|cuándo no|pinchar|mis informes|deshacer 12|mis pesos 20 40 oz|mis unidades pies|ajustes|tarjeta|temporada|resumen|reglas|privacidad|mis datos",
		"pt": "porquê?|como?|sinais|que peso|quando não|furar|meus relatos|desfazer 12|meus pesos 20 40 oz|minhas unidades pés|definições|cartão|época|resumo|regras|privacidade|meus dados",
		"fr": "pourquoi ?|comment ?|signes|quel lest|quand ne pas lester|percer|mes rapports|annuler 12|mes lests 20 40 oz|mes unités pieds|réglages|carte|saison|bilan|règles|confidentialité|mes données",
	} {
		help := words.For(language, false).Say("hint.help")
		for word := range strings.SplitSeq(taught, "|") {
			assert.Contains(t, strings.ReplaceAll(help, "\u00a0", " "), word, language)
			assert.NotEmpty(t, reader.Verb(word), "%s: %s", language, word)
		}
		for _, key := range []string{"button.why", "button.how"} {
			assert.NotEmpty(t, reader.Verb(words.For(language, false).Say(key)), "%s: %s", language, key)
		}
	}
}
