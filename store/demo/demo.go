// Package demo invents a season: a club that does not exist, on a coast that
// does not exist, with fish that were never caught. It is there to look around
// in; no figure in it is evidence of anything.
package demo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"deepward/advisor"
	"deepward/store/catch"
)

// The invented club. Its waters lie in the open South Atlantic, where there is
// no coast at all, so that no place can be taken for a real mark.
const (
	ClubName   = "Skerrow Point Anglers"
	SeasonName = "Skerrow 2026"
	// Chat is the transport number of the invented club's chat.
	Chat = -1
)

const (
	originLat = -31.4
	originLon = -18.6
)

// anglers are the invented members.
var anglers = []string{
	"Ada Fenwright", "Bruno Quill", "Cleo Marsh", "Dov Ashby", "Esme Tarrow", "Finn Oxley",
	"Greta Holm", "Hugo Penrose", "Iris Calloway", "Jonas Wick", "Kit Larkspur", "Lena Strand",
}

// stock is one kind of fish of the invented coast.
type stock struct {
	species            string
	share              float64
	depthLow, depthTop float64 // metres
	kgMedian           float64
}

var stocks = []stock{
	{"Lutjanus campechanus", 0.30, 22, 70, 2.2},
	{"Mycteroperca microlepis", 0.18, 18, 60, 4.0},
	{"Epinephelus morio", 0.14, 20, 75, 3.2},
	{"Centropristis striata", 0.12, 15, 40, 0.6},
	{"Rhomboplites aurorubens", 0.10, 25, 80, 0.5},
	{"Pagrus pagrus", 0.08, 25, 70, 0.9},
	{"Hyporthodus niveatus", 0.04, 110, 190, 4.5},
	{"Seriola dumerili", 0.04, 25, 60, 9.0},
}

// Reports invents n reports over the months of the season, in order of time.
// The same seed gives the same season.
func Reports(n int, chat catch.ClubID, seed uint64) []*catch.Report {
	g := generator{rand.New(rand.NewPCG(seed, 0x5ea50)), chat, map[int]*catch.Report{}}
	opens := Opens()
	span := Closes().Sub(opens)
	list := make([]*catch.Report, 0, n)
	for i := range n {
		at := opens.Add(time.Duration(float64(span) * (float64(i) + g.rng.Float64()) / float64(n)))
		list = append(list, g.report(i, hourOfFishing(at, g.rng)))
	}
	return list
}

// Opens and Closes bound the invented season.
func Opens() time.Time  { return time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC) }
func Closes() time.Time { return time.Date(2026, 9, 30, 23, 59, 59, 0, time.UTC) }

type generator struct {
	rng    *rand.Rand
	chat   catch.ClubID
	tagged map[int]*catch.Report
}

func hourOfFishing(t time.Time, rng *rand.Rand) time.Time {
	return t.Truncate(24 * time.Hour).Add(7*time.Hour + time.Duration(rng.IntN(8*60))*time.Minute)
}

func (g *generator) report(i int, at time.Time) *catch.Report {
	s := g.pickStock()
	depth := math.Round(s.depthLow + (s.depthTop-s.depthLow)*g.rng.Float64())
	kg := math.Round(100*s.kgMedian*math.Exp(0.45*g.rng.NormFloat64())) / 100
	sp := advisor.LookUp(s.species)
	angler := g.rng.IntN(len(anglers))
	r := &catch.Report{
		Chat: g.chat, Message: 1000 + i, CaughtAt: at, SavedAt: at.Add(time.Minute), Season: SeasonName, Origin: catch.Invented,
		Species: s.species, SpeciesGiven: sp.EnglishName, SpeciesSure: true,
		Capture: advisor.Capture{DepthM: &depth, WeightKg: &kg, Hook: advisor.HookLip}, SignsLooked: true,
		Personal: catch.Personal{Person: catch.PersonID(100 + angler), Name: anglers[angler]},
	}
	g.signs(r)
	g.release(r)
	g.place(r)
	g.tag(r)
	r.Personal.Words = fmt.Sprintf("log %s %gm %gkg %s", sp.EnglishName, depth, kg, r.Method)
	return r
}

func (g *generator) pickStock() stock {
	x := g.rng.Float64()
	for _, s := range stocks {
		if x -= s.share; x < 0 {
			return s
		}
	}
	return stocks[0]
}

// signs grow with depth, as they do at sea.
func (g *generator) signs(r *catch.Report) {
	chance := min(0.9, *r.DepthM/90)
	for _, s := range advisor.Signs[:3] {
		if g.rng.Float64() < chance*0.6 {
			r.Signs = append(r.Signs, s)
		}
	}
	minutes := math.Round(10*(0.5+2.5*g.rng.Float64())) / 10
	r.MinutesOnDeck = &minutes
	if g.rng.Float64() < 0.08 {
		r.Hook = advisor.HookGut
	}
}

// release: as the season goes on more anglers send their fish down.
func (g *generator) release(r *catch.Report) {
	progress := r.CaughtAt.Sub(Opens()).Hours() / Closes().Sub(Opens()).Hours()
	switch x := g.rng.Float64(); {
	case x < 0.08:
		r.Method = advisor.Kept
		return
	case x < 0.40+0.40*progress:
		advice := advisor.Advise(advisor.Query{Species: r.Species, Capture: advisor.Capture{DepthM: r.DepthM, WeightKg: r.WeightKg}, Count: 1})
		r.Method, r.WeightsOz, r.ReleaseDepthM = advisor.Recompressed, advice.ReleaseWeightsOz, r.DepthM
		if len(r.WeightsOz) == 0 {
			r.WeightsOz = []float64{20}
		}
	default:
		r.Method = advisor.Surface
	}
	r.Outcome = g.outcome(r)
}

func (g *generator) outcome(r *catch.Report) advisor.Outcome {
	trouble := 0.02 + 0.05*float64(len(r.Signs))
	if r.Method == advisor.Surface {
		trouble = min(0.8, *r.DepthM/80)
	}
	switch x := g.rng.Float64(); {
	case x < 0.1:
		return advisor.NotSeen
	case g.rng.Float64() < trouble && r.Method == advisor.Surface:
		return advisor.FloatedOff
	case g.rng.Float64() < trouble/3:
		return advisor.TakenByOther
	default:
		return advisor.SwamDown
	}
}

// place scatters the fish over invented grounds; the exact spot is kept for some.
func (g *generator) place(r *catch.Report) {
	lat := originLat + 0.6*g.rng.Float64()
	lon := originLon + 0.8*g.rng.Float64()
	r.Cell = catch.CellOf(lat, lon)
	if g.rng.Float64() < 0.3 {
		r.Personal.Lat, r.Personal.Lon = &lat, &lon
	}
}

// tag puts a tag into about a third of the released fish; some are seen again.
func (g *generator) tag(r *catch.Report) {
	if r.Method == advisor.Kept || r.Outcome == advisor.Died {
		return
	}
	sp := advisor.LookUp(r.Species)
	if first := g.waiting(r); first != nil {
		r.Tag, r.Recapture = first.Tag, true
		r.Species, r.SpeciesGiven = first.Species, first.SpeciesGiven
		grown := *first.LengthCm + 0.02*r.CaughtAt.Sub(first.CaughtAt).Hours()/24
		r.LengthCm, r.LengthType, r.WeightKg = new(math.Round(grown*10)/10), first.LengthType, nil
		return
	}
	if g.rng.Float64() < 0.35 {
		cm, _ := sp.LengthFromWeight(*r.WeightKg)
		r.LengthCm, r.LengthType = new(math.Round(cm*10)/10), sp.LWType
		r.Tag = fmt.Sprintf("SKP%06d", 100+len(g.tagged))
		g.tagged[len(g.tagged)] = r
	}
}

// waiting draws, now and then, a tagged fish that is seen again.
func (g *generator) waiting(r *catch.Report) *catch.Report {
	if len(g.tagged) < 10 || g.rng.Float64() > 0.05 {
		return nil
	}
	first := g.tagged[g.rng.IntN(len(g.tagged))]
	sent := first.Method == advisor.Recompressed
	if first.Tag == "" || r.CaughtAt.Sub(first.CaughtAt) < 7*24*time.Hour || (!sent && g.rng.Float64() < 0.5) {
		return nil
	}
	return first
}
