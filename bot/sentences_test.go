package bot

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/understand"
	"deepward/bot/words"
)

// Every key that the code says, and every code of the core, has a sentence.
func TestEverySentenceExists(t *testing.T) {
	said := regexp.MustCompile(`(?:Say|tell|notice)\("([a-z_]+(?:\.[a-z_]+)+)"`)
	coded := regexp.MustCompile(`NoteCode = "([a-z_.]+)"`)
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, more := range []string{"understand/*.go", "../advisor/*.go"} {
		list, err := filepath.Glob(more)
		require.NoError(t, err)
		files = append(files, list...)
	}
	found := 0
	for _, file := range files {
		source, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, form := range []*regexp.Regexp{said, coded} {
			for _, m := range form.FindAllStringSubmatch(string(source), -1) {
				assert.True(t, words.Has(m[1]), "%s says %q, which en.json lacks", file, m[1])
				found++
			}
		}
	}
	for _, c := range Commands {
		assert.True(t, words.Has(c.Key), c.Key)
	}
	assert.Greater(t, found, 100)
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
