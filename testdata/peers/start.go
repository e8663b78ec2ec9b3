package main

import (
	"fmt"
	"time"

	"deepward/bot/telegram/standin"
)

// start measures from the start of the process to the first answer, to a question
// that waited for it.
func (b *bench) start() error {
	ours, busy, err := b.firstAnswers(full)
	if err != nil {
		return err
	}
	onProcessor := fmt.Sprintf("%.0f ms of a processor", busy)
	b.table.add(row{what: "start to first answer, with a fresh store", figure: ours, unit: "ms", peer: "the aim", other: aimStart, note: onProcessor})
	echo, busy, err := b.firstAnswers("tgbotapi-loop")
	if err != nil {
		return err
	}
	b.table.add(row{what: "the same", figure: ours, unit: "ms", peer: "bare echo, tgbotapi-loop", other: echo, note: fmt.Sprintf("%.0f ms of a processor for the echo", busy)})
	return nil
}

// firstAnswers are the medians of the milliseconds by the clock and on a processor.
func (b *bench) firstAnswers(name string) (clock, processor float64, err error) {
	var clocks, busies []float64
	for range b.runs {
		c, p, err := b.firstAnswer(name)
		if err != nil {
			return 0, 0, err
		}
		clocks, busies = append(clocks, c), append(busies, p)
	}
	return median(clocks), median(busies), nil
}

func (b *bench) firstAnswer(name string) (clock, processor float64, err error) {
	api := standin.New()
	defer api.Close()
	api.Push(standin.Private(5000, 1, question))
	cmd := b.command(name, api.URL, 0)
	began := time.Now()
	if err := cmd.Start(); err != nil {
		return 0, 0, err
	}
	answers := api.Await(1, patience)
	_ = cmd.Process.Kill()
	_ = cmd.Wait()
	if len(answers) == 0 {
		return 0, 0, fmt.Errorf("%s does not answer", name)
	}
	busy := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	return milliseconds(answers[0].At.Sub(began)), milliseconds(busy), nil
}

func milliseconds(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
