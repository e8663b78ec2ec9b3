package importer

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store/catch"
)

// manner is how one keeper of a log writes: headings, words, figures, dates.
type manner struct {
	headings              [8]string // date, fish, depth, length, method, fate, tag, hook
	surface, vented, down string
	swam, floated, died   string
	lip, gut              string
	total                 string
	decimal, date         string
	depthUnit, lengthUnit float64 // base units in one of theirs
}

var manners = map[string]manner{
	"US captain": {
		headings: [8]string{"Date", "Fish", "Depth (ft)", "Length (in)", "Method", "Fate", "Tag #", "Hook location"},
		surface:  "surface", vented: "vented", down: "descended", swam: "swam down", floated: "floated", died: "dead", lip: "lip", gut: "gut",
		total: "Total trip", decimal: ".", date: "1/2/2006", depthUnit: 0.3048, lengthUnit: 2.54,
	},
	"university": {
		headings: [8]string{"capture_date", "species", "depth_m", "TL_mm", "release_method", "release_condition", "tag_id", "hook_position"},
		surface:  "control", vented: "vented", down: "recompressed", swam: "submerged", floated: "unable to submerge", died: "moribund", lip: "jaw", gut: "gut",
		total: "Mean", decimal: ".", date: "2006-01-02", depthUnit: 1, lengthUnit: 0.1,
	},
	"Brazilian club": {
		headings: [8]string{"Data", "Peixe", "Profundidade (m)", "Comprimento (cm)", "Método de soltura", "Resultado", "Etiqueta", "Anzol"},
		surface:  "na superfície", vented: "perfurado", down: "descido com peso", swam: "nadou bem", floated: "boiou", died: "morreu", lip: "lábio", gut: "estômago",
		total: "Total do dia", decimal: ",", date: "02/01/2006", depthUnit: 1, lengthUnit: 1,
	},
	"Mexican co-op": {
		headings: [8]string{"Fecha", "Especie", "Profundidad (m)", "Longitud (cm)", "Método de liberación", "Destino", "Marca", "Anzuelo"},
		surface:  "en superficie", vented: "pinchado", down: "bajado", swam: "se fue nadando", floated: "quedó flotando", died: "murió", lip: "labio", gut: "estómago",
		total: "Suma", decimal: ".", date: "02-01-2006", depthUnit: 1, lengthUnit: 1,
	},
	"French association": {
		headings: [8]string{"Date", "Espèce", "Profondeur (m)", "Longueur (cm)", "Méthode de remise à l'eau", "Destin", "Marque", "Hameçon"},
		surface:  "en surface", vented: "percé", down: "redescendu", swam: "reparti", floated: "flottait", died: "mort", lip: "lèvre", gut: "estomac",
		total: "Total", decimal: ",", date: "2.1.2006", depthUnit: 1, lengthUnit: 1,
	},
}

// fishKept is one fish of the model.
type fishKept struct {
	day           time.Time
	name          string
	depth, length float64 // in the units of the log, to one decimal
	method        advisor.Method
	outcome       advisor.Outcome
	hook          advisor.Hook
	tag           string
}

func someFish(r *rand.Rand, n int) (list []fishKept) {
	for i := range n {
		list = append(list, fishKept{
			day: time.Date(2025, 3, 13+i/3, 0, 0, 0, 0, time.UTC), name: []string{"gag", "red snapper"}[r.IntN(2)],
			depth: float64(300+r.IntN(200)) / 10, length: float64(180+r.IntN(80)) / 10,
			method:  []advisor.Method{advisor.Surface, advisor.Vented, advisor.Recompressed}[r.IntN(3)],
			outcome: []advisor.Outcome{advisor.SwamDown, advisor.FloatedOff, advisor.Died}[r.IntN(3)],
			hook:    []advisor.Hook{advisor.HookLip, advisor.HookGut}[r.IntN(2)], tag: fmt.Sprintf("K%03d", i),
		})
	}
	return list
}

func (m manner) figure(x float64) string {
	return strings.Replace(strconv.FormatFloat(x, 'f', 1, 64), ".", m.decimal, 1)
}

func (m manner) scale() float64 {
	if m.lengthUnit == 0.1 {
		return 10 // millimetres
	}
	return 1
}

// row is a fish as the keeper writes it.
func (m manner) row(f fishKept) []string {
	method := map[advisor.Method]string{advisor.Surface: m.surface, advisor.Vented: m.vented, advisor.Recompressed: m.down}
	outcome := map[advisor.Outcome]string{advisor.SwamDown: m.swam, advisor.FloatedOff: m.floated, advisor.Died: m.died}
	hook := map[advisor.Hook]string{advisor.HookLip: m.lip, advisor.HookGut: m.gut}
	return []string{f.day.Format(m.date), f.name, m.figure(f.depth), m.figure(f.length * m.scale()), method[f.method], outcome[f.outcome], f.tag, hook[f.hook]}
}

// messy writes the log in a random order of columns, with a title, blank lines, sums amid the
// rows and headings of a new page.
func (m manner) messy(r *rand.Rand, fish []fishKept) [][]string {
	order := r.Perm(len(m.headings))
	place := func(row []string) []string {
		placed := make([]string, len(row))
		for to, from := range order {
			placed[to] = row[from]
		}
		return placed
	}
	head := place(m.headings[:])
	lines := [][]string{{"Our log of past years"}, {}, head}
	for i, f := range fish {
		if i > 0 && r.IntN(4) == 0 {
			lines = append(lines, [][]string{{}, {m.total + " 1"}, head}[r.IntN(3)])
		}
		lines = append(lines, place(m.row(f)))
	}
	return append(lines, []string{m.total})
}

func asText(lines [][]string, separator string) []byte {
	var b bytes.Buffer
	for _, l := range lines {
		b.WriteString(strings.Join(l, separator) + "\n")
	}
	return b.Bytes()
}

func asBook(t *testing.T, lines [][]string) []byte {
	t.Helper()
	rows := make([][]any, len(lines))
	for i, l := range lines {
		for _, c := range l {
			rows[i] = append(rows[i], c)
		}
	}
	return workbook(t, map[string][][]any{"Log": rows}, "Log")
}

// Whatever the order of columns, the language, the form of file and what stands amid the rows,
// each fish is read as it was written, or asked about: five keepers, their logs at random.
func TestLogsOfManyKeepersAreReadAsTheyWereWritten(t *testing.T) {
	for name, m := range manners {
		t.Run(name, func(t *testing.T) {
			for seed := range uint64(12) {
				r := rand.New(rand.NewPCG(seed, 26))
				fish := someFish(r, 9)
				lines := m.messy(r, fish)
				separator := []string{";", "\t"}[seed%2]
				var ids []string
				for form, data := range map[string][]byte{"text": asText(lines, separator), "workbook": asBook(t, lines)} {
					s, err := Read(bytes.NewReader(data), "log", options())
					require.NoError(t, err, "seed %d, %s", seed, form)
					require.NoError(t, s.Ready(), "seed %d, %s\n%s", seed, form, data)
					var got []string
					n := 0
					for e := range s.Entries() {
						m.assertFish(t, fish[n], e.Report, fmt.Sprintf("seed %d, %s, fish %d", seed, form, n))
						got = append(got, e.ID)
						n++
					}
					require.Equal(t, len(fish), n, "seed %d, %s", seed, form)
					if ids != nil {
						assert.Equal(t, ids, got, "the same rows have the same identities in both forms")
					}
					ids = got
				}
			}
		})
	}
}

func (m manner) assertFish(t *testing.T, want fishKept, got *catch.Report, what string) {
	t.Helper()
	species := map[string]string{"gag": "Mycteroperca microlepis", "red snapper": "Lutjanus campechanus"}
	assert.Equal(t, want.day, got.CaughtAt, what)
	assert.Equal(t, species[want.name], got.Species, what)
	assert.Equal(t, []any{want.method, want.outcome, want.hook, want.tag}, []any{got.Method, got.Outcome, got.Hook, got.Tag}, what)
	require.NotNil(t, got.DepthM, what)
	require.NotNil(t, got.LengthCm, what)
	assert.InDelta(t, want.depth*m.depthUnit, *got.DepthM, 1e-4, what)
	assert.InDelta(t, want.length*m.scale()*m.lengthUnit, *got.LengthCm, 1e-4, what)
}
