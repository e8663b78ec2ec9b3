package main

import (
	"fmt"
	"time"

	"deepward/bot/telegram/standin"
)

// start measures from the start of the process to the first answer, to a question
// that waited for it.
func (b *bench) start() error {
	first := func(name string) func() (float64, error) {
		return func() (float64, error) {
			api := standin.New()
			defer api.Close()
			api.Push(standin.Private(5000, 1, question))
			cmd := b.command(name, api.URL, 0)
			began := time.Now()
			if err := cmd.Start(); err != nil {
				return 0, err
			}
			answers := api.Await(1, patience)
			_ = cmd.Process.Kill()
			_ = cmd.Wait()
			if len(answers) == 0 {
				return 0, fmt.Errorf("%s does not answer", name)
			}
			return float64(answers[0].At.Sub(began).Microseconds()) / 1000, nil
		}
	}
	ours, err := b.medianOf(first(full))
	if err != nil {
		return err
	}
	b.table.add(row{what: "start to first answer, with a fresh store", figure: ours, unit: "ms", peer: "the aim", other: aimStart})
	echo, err := b.medianOf(first("tgbotapi-loop"))
	b.table.add(row{what: "the same", figure: ours, unit: "ms", peer: "bare echo, tgbotapi-loop", other: echo})
	return err
}
