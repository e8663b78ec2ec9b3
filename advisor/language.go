package advisor

import (
	"encoding/json"
	"errors"
	"io/fs"
	"maps"
	"strings"

	"deepward/advisor/packed"
)

// Languages are the languages spoken, by their BCP 47 tags, English first: it is the
// fallback. A tag with a country is a sheet of what is said there in another way than in
// the language's own.
var Languages = [...]string{"en", "es", "pt", "fr", "pt-BR"}

// BaseLanguages are the languages without their countries, English first: those of names
// of fish and of what people type.
func BaseLanguages() (list []string) {
	for _, tag := range Languages {
		if !strings.Contains(tag, "-") {
			list = append(list, tag)
		}
	}
	return list
}

// Sheets are sentences by language, as Languages has them, and by what they are in English.
type Sheets map[string]map[string]string

// ReadSheets reads compiled-in sheets, a folder with one JSON file a language, named by its
// tag; that of a country is laid over its language's. English may have none, for its
// sentences are the keys. A file may be packed, .gz behind its name. A fault is a fault of the build, and panics.
func ReadSheets(files fs.FS, folder string) Sheets {
	all := Sheets{}
	for _, tag := range Languages {
		text := map[string]string{}
		base, _, _ := strings.Cut(tag, "-")
		maps.Copy(text, all[base])
		data, err := fs.ReadFile(files, folder+"/"+tag+".json")
		if errors.Is(err, fs.ErrNotExist) {
			if data, err = fs.ReadFile(files, folder+"/"+tag+".json.gz"); err == nil {
				data = packed.Open(data)
			}
		}
		if err == nil {
			err = json.Unmarshal(data, &text)
		}
		if err != nil && !(tag == Languages[0] && errors.Is(err, fs.ErrNotExist)) {
			panic("embedded sentences: " + err.Error())
		}
		all[tag] = text
	}
	return all
}

// For is the sheet of a language, with any country behind it, and the tag of the sheet;
// "" and nil for a language that is not spoken.
func (s Sheets) For(tag string) (code string, text map[string]string) {
	base, country, _ := strings.Cut(tag, "-")
	for _, code := range []string{base + "-" + strings.ToUpper(country), base} {
		if s[code] != nil {
			return code, s[code]
		}
	}
	return "", nil
}
