package advisor

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
)

func TestACountryIsLaidOverItsLanguage(t *testing.T) {
	files := fstest.MapFS{}
	for _, tag := range Languages[1:] {
		files["words/"+tag+".json"] = &fstest.MapFile{Data: []byte(`{"fish": "` + tag + `"}`)}
	}
	files["words/pt.json"].Data = []byte(`{"fish": "peixe", "bus": "autocarro"}`)
	files["words/pt-BR.json"].Data = []byte(`{"bus": "ônibus"}`)
	sheets := ReadSheets(files, "words")
	for tag, want := range map[string]struct{ code, bus string }{
		"pt": {"pt", "autocarro"}, "pt-AO": {"pt", "autocarro"}, "pt-BR": {"pt-BR", "ônibus"}, "pt-br": {"pt-BR", "ônibus"},
	} {
		code, text := sheets.For(tag)
		assert.Equal(t, want.code, code, tag)
		assert.Equal(t, map[string]string{"fish": "peixe", "bus": want.bus}, text, tag)
	}
	code, text := sheets.For("en-GB")
	assert.Equal(t, "en", code)
	assert.Empty(t, text, "its sentences are the keys")
	_, text = sheets.For("xx")
	assert.Nil(t, text)
	delete(files, "words/fr.json")
	assert.Panics(t, func() { ReadSheets(files, "words") })
}
