package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"syscall"
	"time"

	"deepward/bot/telegram/standin"
	"deepward/bot/understand"
	"deepward/bot/understand/learned"
)

// The pace that is aimed at: so many messages a second, for so long, each answered within
// so many milliseconds but for one in a hundred.
const (
	paceHertz   = 25
	paceSeconds = 30
	paceChats   = 250
	aimPace     = 100.0
)

// pace sends questions of the corpus at the aim's rate to the program, which keeps and syncs
// all, and to the bare echo of its loop, and measures from each to its answer.
func (b *bench) pace() error {
	texts, err := questions("../messages.jsonl")
	if err != nil {
		return err
	}
	for _, name := range []string{full, "our-loop-echoing"} {
		waits, err := b.waits(name, texts)
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		b.table.add(row{
			what:   fmt.Sprintf("%d messages a second, the 99th hundredth of the time to an answer: %s", paceHertz, name),
			figure: waits[len(waits)*99/100], unit: "ms", peer: "the aim", other: aimPace,
			note: fmt.Sprintf("median %.0f ms, %d of %d answered", waits[len(waits)/2], len(waits), paceHertz*paceSeconds),
		})
	}
	return nil
}

// waits are the milliseconds from each message to its answer, sorted.
func (b *bench) waits(name string, texts []string) ([]float64, error) {
	api := standin.New()
	defer api.Close()
	cmd := b.command(name, api.URL, 0)
	if err := cmd.Start(); err != nil {
		return nil, err
	}
	defer func() { _ = cmd.Process.Kill(); _ = cmd.Wait() }()
	api.Push(standin.Private(4999, 1, question)) // the start itself is not measured
	await(api, 1)
	sent := map[int64][]time.Time{}
	tick := time.NewTicker(time.Second / paceHertz)
	defer tick.Stop()
	for i := range paceHertz * paceSeconds {
		<-tick.C
		chat := int64(5000 + i%paceChats)
		sent[chat] = append(sent[chat], time.Now())
		api.Push(standin.Private(chat, 1+i/paceChats, texts[i%len(texts)]))
	}
	waits := answered(await(api, 1+paceHertz*paceSeconds), sent)
	if len(waits) == 0 {
		return nil, errors.New("no answer at all")
	}
	return waits, nil
}

// answered pairs each answer, of words or a picture, with the newest message of its chat
// before it: they come ten seconds apart.
func answered(calls []standin.Call, sent map[int64][]time.Time) (waits []float64) {
	for _, c := range calls {
		i := slices.IndexFunc(sent[c.Chat], func(at time.Time) bool { return at.After(c.At) })
		if i < 0 {
			i = len(sent[c.Chat])
		}
		if strings.HasPrefix(c.Method, "send") && i > 0 {
			waits = append(waits, float64(c.At.Sub(sent[c.Chat][i-1]).Microseconds())/1000)
		}
	}
	slices.Sort(waits)
	return waits
}

// questions are the texts of the corpus that ask for advice.
func questions(path string) (texts []string, err error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	for lines := json.NewDecoder(f); lines.More(); {
		var m struct {
			Text   string
			Expect struct{ Kind string }
		}
		if err := lines.Decode(&m); err != nil {
			return nil, err
		}
		if m.Expect.Kind == "question" {
			texts = append(texts, m.Text)
		}
	}
	if len(texts) == 0 {
		return nil, fmt.Errorf("%s: no questions", path)
	}
	return texts, nil
}

// readingMicros is the processor time that reading one of the questions of the loop takes.
func readingMicros() float64 {
	const times = 2000
	reader := understand.NewReader()
	reader.Read(question, understand.Setting{}, learned.Context{}) // what is unpacked once
	began := processor()
	for i := range times {
		reader.Read(fmt.Sprintf("%s no %d", question, i), understand.Setting{}, learned.Context{})
	}
	return float64((processor() - began).Microseconds()) / times
}

// processor is the time that this process has had of the processor.
func processor() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
