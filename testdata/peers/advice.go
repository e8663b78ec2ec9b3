package main

import (
	"fmt"
	"testing"
	"time"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/bot/understand/learned"
)

// The aims, from the tasks of the project.
const (
	aimAdvice  = 4000.0 // µs, the median
	aimDescent = 5.0    // µs
	aimStart   = 200.0  // ms
	aimMemory  = 64.0   // MB
)

// advice measures one message from its words to the advice, and the descent alone.
func (b *bench) advice() error {
	reader := understand.NewReader()
	for _, c := range []struct{ kind, text string }{
		{"as on a boat", question}, {"misspelt", "quilback rokfish 150' 2#"},
		{"a sentence", "what do i do with a 3kg gag from 50m its eyes are bulging?"},
		{"chatter, to be left alone", "bring 2kg of ice and be at the jetty by 6"},
	} {
		one := func() {
			if r := reader.Read(c.text, understand.Setting{}, learned.Context{}); r.Act == understand.ActQuestion && len(r.Fish) > 0 {
				advisor.Advise(r.Fish[0].Query)
			}
		}
		b.table.add(row{
			what: "one message understood and advised on: " + c.kind, figure: middleTime(one), unit: "µs", peer: "the aim", other: aimAdvice,
			note: fmt.Sprintf("%.0f allocations", testing.AllocsPerRun(100, one)),
		})
	}
	gas := advisor.General().Gas()
	speed, err := b.medianOf(func() (float64, error) {
		r := testing.Benchmark(func(b *testing.B) {
			for b.Loop() {
				advisor.DescentOf(gas, 4, 45, 45, 40)
			}
		})
		return float64(r.T.Nanoseconds()) / float64(r.N) / 1000, nil
	})
	b.table.add(row{what: "a descent solved", figure: speed, unit: "µs", peer: "the aim", other: aimDescent})
	return err
}

// middleTime is the median time of one call in microseconds, of many.
func middleTime(one func()) float64 {
	times := make([]float64, 1000)
	for i := range times {
		began := time.Now()
		one()
		times[i] = float64(time.Since(began).Nanoseconds()) / 1000
	}
	return median(times)
}
