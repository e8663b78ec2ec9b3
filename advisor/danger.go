package advisor

import (
	_ "embed"
	"sync"
)

// Danger is how a fish can hurt whoever handles it badly, by the names of
// data/dangers.csv; "" for a fish that hurts no more than fish do.
type Danger string

// The dangers that need care of their own before anything else.
const (
	// DangerDeadly: venom that can kill or maim: never touch it.
	DangerDeadly Danger = "deadly"
	// DangerVenom: spines whose sting hurts for hours.
	DangerVenom Danger = "venom"
	// DangerTail: a barbed, venomous spine on a whipping tail.
	DangerTail Danger = "tail"
	// DangerShock: it gives electric shocks.
	DangerShock Danger = "shock"
	// DangerBite: it bites hard, or holds on.
	DangerBite Danger = "bite"
	// DangerBlade: a blade on each side of the root of the tail.
	DangerBlade Danger = "blade"
	// DangerBeak: a beak, bill or saw that stabs.
	DangerBeak Danger = "beak"
	// DangerPuffer: it swells by itself, which is no barotrauma, and bites.
	DangerPuffer Danger = "puffer"
)

// dangerCautions are the cautions for the dangers.
var dangerCautions = map[Danger]NoteCode{
	DangerDeadly: CautionDeadly, DangerVenom: CautionVenom, DangerTail: CautionTail, DangerShock: CautionShock,
	DangerBite: CautionBite, DangerBlade: CautionBlade, DangerBeak: CautionBeak, DangerPuffer: CautionPuffer,
}

// Grave is true for the caution of a danger that is told before anybody takes hold of
// the fish; it is the first of an advice's cautions.
func Grave(code NoteCode) bool {
	for _, c := range dangerCautions {
		if c == code {
			return true
		}
	}
	return false
}

//go:embed data/dangers.csv
var dangersCSV string

// dangerRow is what can hurt the hand on the fish of one taxon.
type dangerRow struct {
	kind           Danger
	hazard, source string
}

// dangers are by genus, family, order or larger taxon.
var dangers = sync.OnceValue(func() map[string]dangerRow {
	table := map[string]dangerRow{}
	mustReadRows("dangers", dangersCSV, func(r *tableRow) {
		d := dangerRow{Danger(r.text("danger")), r.text("hazard"), r.text("source")}
		if _, grave := dangerCautions[d.kind]; !grave {
			d.kind = ""
		}
		table[r.text("taxon")] = d
	})
	return table
})

// dangerOf is the danger of a species of the catalogue, by its genus or family.
func (s *Species) dangerOf() Danger {
	for _, name := range s.lineage("") {
		if d, ok := dangers()[name]; ok && name != "" {
			return d.kind
		}
	}
	return ""
}
