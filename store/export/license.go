package export

import (
	"errors"
	"fmt"
	"strings"
)

// License is what others may do with a log.
type License struct {
	// Key is the word for it, Name what people call it, URI its address.
	Key, Name, URI string
}

// Licenses are those that GBIF takes (its data publisher agreement; the addresses are
// Creative Commons').
var Licenses = []License{
	{"cc0", "Creative Commons Zero (CC0 1.0): anybody may use it for anything", "https://creativecommons.org/publicdomain/zero/1.0/legalcode"},
	{"cc-by", "Creative Commons Attribution (CC BY 4.0): anybody who names you", "https://creativecommons.org/licenses/by/4.0/legalcode"},
	{"cc-by-nc", "Creative Commons Attribution Non Commercial (CC BY-NC 4.0): who names you and sells nothing", "https://creativecommons.org/licenses/by-nc/4.0/legalcode"},
}

// ErrLicense: there is no such licence here.
var ErrLicense = errors.New("no such licence; choose cc0, cc-by or cc-by-nc")

// ParseLicense finds a licence by its word or its address.
func ParseLicense(text string) (License, error) {
	word := strings.NewReplacer(" ", "-", "_", "-").Replace(strings.ToLower(strings.TrimSpace(text)))
	for _, l := range Licenses {
		if word == l.Key || text == l.URI {
			return l, nil
		}
	}
	return License{}, fmt.Errorf("%q: %w", text, ErrLicense)
}

// title is what the licence is called, without what it means.
func (l License) title() string {
	name, _, _ := strings.Cut(l.Name, ":")
	return name
}

// NeedsLicense is true for a format that is made to be passed on, and so needs a licence.
func (f Format) NeedsLicense() bool { return f == DwCA || f == All }
