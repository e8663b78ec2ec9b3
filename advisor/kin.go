package advisor

import (
	_ "embed"
	"sync"
)

// Kin are the families that the survival model takes together, by bladder and
// body form: what is not known of a species is borrowed from its kin.
type Kin struct {
	// Name is the trade's word for them: rockfish, snapper, grouper, …
	Name string
	// Form says what they have in common.
	Form string
}

//go:embed data/groups.csv
var groupsCSV string

// kinTable maps a family to its kin. It is a data file because it is a judgement
// that others may want to see and change, and the fit reads it too.
var kinTable = sync.OnceValue(func() map[string]Kin {
	table := map[string]Kin{}
	for _, row := range Rows("kin", groupsCSV) {
		table[row[1]] = Kin{Name: row[0], Form: row[2]}
	}
	return table
})

// Kin returns the families that this species is taken together with. Kin with no
// name are the rest of the closed-bladder fish, and all fish without trapped gas.
func (s *Species) Kin() Kin {
	if !s.trapsGas() {
		return Kin{}
	}
	return kinTable()[s.Family]
}

// FamilyOf returns the first family of the kin of that name, "" if there is none.
// The fit asks it for the gas of a species that was studied but that no angler asks
// about, and that is therefore not in the catalogue.
func FamilyOf(kin string) string {
	for _, row := range Rows("kin", groupsCSV) {
		if row[0] == kin {
			return row[1]
		}
	}
	return ""
}
