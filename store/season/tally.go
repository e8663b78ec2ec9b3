package season

import (
	"fmt"
	"iter"

	"deepward/advisor"
	"deepward/store"
)

// Methods are the ways a fish leaves the boat, in the order in which they are told.
var Methods = [...]advisor.Method{advisor.Recompressed, advisor.Surface, advisor.Vented, advisor.Kept}

// Count is how the fish of one method went.
type Count struct {
	// Fish were reported, Seen were watched as they went, WentDown were seen to
	// swim down.
	Fish, Seen, WentDown int
}

// Tally is a log added up.
type Tally struct {
	// Reports is every fish that stands in the log, Released those let go alive.
	Reports, Released int
	Methods           map[advisor.Method]Count
	// AliveMore is set by TallyOf: the sum over the fish that were sent down of how much likelier
	// that made them to live, by the survival odds of this program.
	AliveMore float64
}

// TallyOf adds up a log in one pass; it holds one report at a time.
func TallyOf(reports iter.Seq2[*store.Report, error]) (Tally, error) {
	t := Tally{Methods: map[advisor.Method]Count{}}
	for r, err := range reports {
		if err != nil {
			return t, fmt.Errorf("adding up the log: %w", err)
		}
		t.add(r)
		if r.Method == advisor.Recompressed {
			t.credit(r)
		}
	}
	return t, nil
}

func (t *Tally) add(r *store.Report) {
	t.Reports++
	if r.Method == "" {
		return
	}
	t.watch(r)
	if r.Method != advisor.Kept {
		t.Released++
	}
}

// watch counts a fish under its method, and how it was seen to go.
func (t *Tally) watch(r *store.Report) {
	c := t.Methods[r.Method]
	c.Fish++
	switch r.Outcome {
	case "", advisor.NotSeen:
	case advisor.SwamDown:
		c.Seen++
		c.WentDown++
	default:
		c.Seen++
	}
	t.Methods[r.Method] = c
}

// credit adds what sending this fish down was worth.
func (t *Tally) credit(r *store.Report) {
	if r.DepthM == nil {
		return // no odds without a depth
	}
	a := advisor.Advise(advisor.Query{
		Species: r.Species, DepthM: r.DepthM, WeightKg: r.WeightKg, LengthCm: r.LengthCm, LengthType: r.LengthType,
		Count: 1, Hook: r.Hook, Bleeding: r.Bleeding, MinutesOnDeck: r.MinutesOnDeck, Signs: r.Signs,
	})
	if a.Survival != nil {
		t.AliveMore += a.Survival.Benefit.P
	}
}
