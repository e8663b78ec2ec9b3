package main

import (
	"slices"
	"testing"
	"time"

	"deepward/advisor"
	"deepward/bot/understand"
)

// The aims, from the tasks of the project.
const (
	aimAdvice  = 20.0  // µs, the median
	aimDescent = 5.0   // µs
	aimStart   = 100.0 // ms
	aimMemory  = 64.0  // MB
)

// advice measures one message from its words to the advice, and the descent alone.
func (b *bench) advice() error {
	reader := understand.NewReader()
	one := func() { advisor.Advise(reader.Understand(question, understand.Setting{}).Query) }
	one()
	times := make([]float64, 20_000)
	for i := range times {
		began := time.Now()
		one()
		times[i] = float64(time.Since(began).Nanoseconds()) / 1000
	}
	slices.Sort(times)
	b.table.add(row{what: "one message understood and advised on, median", figure: median(times), unit: "µs", peer: "the aim", other: aimAdvice})
	b.table.add(row{what: "the same, 99 of 100", figure: times[len(times)*99/100], unit: "µs"})
	b.table.add(row{what: "the same, memory taken", figure: testing.AllocsPerRun(1000, one), unit: "allocations"})
	gas := advisor.General().Gas()
	speed, err := b.medianOf(func() (float64, error) {
		r := testing.Benchmark(func(b *testing.B) {
			for b.Loop() {
				advisor.DescentOf(gas, 4, 45, 40)
			}
		})
		return float64(r.T.Nanoseconds()) / float64(r.N) / 1000, nil
	})
	b.table.add(row{what: "a descent solved", figure: speed, unit: "µs", peer: "the aim", other: aimDescent})
	return err
}
