package main

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"time"

	"deepward/bot/telegram/standin"
)

// question is what every person asks.
const question = "red snapper 45m 3kg eyes bulging"

// patience is how long a bot may take for the next answer.
const patience = 10 * time.Second

// full is the program itself among the bots.
const full = "deepward"

// outcome is what a bot did with what it was given.
type outcome struct {
	perSecond, cpuMicros, peakMB float64
	disordered                   bool
	lost                         int
}

// loop gives each bot the same updates from the same stand-in, one bot after the
// other in each run, so that what disturbs the machine disturbs all.
func (b *bench) loop() error {
	all := map[string][]outcome{}
	var readings, left []float64
	names := []string{full, "our-loop-echoing", "tgbotapi-loop", "tgbotapi-many", "telebot", "go-telegram-bot", "telego", "telego-many"}
	for run := range b.runs {
		for _, name := range names {
			o, err := b.race(name, run)
			if err != nil {
				return fmt.Errorf("%s: %w", name, err)
			}
			all[name] = append(all[name], o)
			if name == full {
				readings = append(readings, readingMicros())
				left = append(left, o.cpuMicros-readings[len(readings)-1])
			}
		}
	}
	ours := middle(all[full])
	for _, name := range names {
		o := middle(all[name])
		r := row{what: "a full answer, kept on disk, over loopback", figure: ours.perSecond, unit: "answers/s", note: o.String()}
		if name != full {
			r.what, r.peer, r.other = "the same", "bare echo, "+name, o.perSecond
		}
		b.table.add(r)
	}
	b.table.add(row{
		what: "a full answer with the reading left out, processor time", figure: median(left), unit: "µs",
		peer: "bare echo, our-loop-echoing", other: middle(all["our-loop-echoing"]).cpuMicros,
		note: fmt.Sprintf("the reading takes %.0f µs; aim: 2.5 at most", median(readings)),
	})
	return nil
}

func (o outcome) String() string {
	text := fmt.Sprintf("%.0f µs of CPU each, %.0f MB at most", o.cpuMicros, o.peakMB)
	if o.disordered {
		text += ", order in a chat lost"
	}
	if o.lost > 0 {
		text += fmt.Sprintf(", %d answers lost", o.lost)
	}
	return text
}

// middle is the outcome with the median speed.
func middle(list []outcome) outcome {
	list = slices.SortedFunc(slices.Values(list), func(a, b outcome) int { return cmp.Compare(a.perSecond, b.perSecond) })
	return list[len(list)/2]
}

// command is the process of a bot that talks to a stand-in.
func (b *bench) command(name, url string, run int) *exec.Cmd {
	if name != full {
		return exec.Command(os.Args[0], "bot", name, url)
	}
	dir := filepath.Join(b.dir, fmt.Sprintf("%s-%d-%d", full, run, time.Now().UnixNano()))
	return b.serve(url, filepath.Join(dir, "d", "t.db"), filepath.Join(dir, "k", "key"))
}

func (b *bench) serve(url, db, key string) *exec.Cmd {
	cmd := exec.Command(b.program, "serve", "--db", db, "--key-file", key, "--api-url", url, "--health", "", "--no-limits")
	cmd.Env = append(os.Environ(), "DEEPWARD_TOKEN="+standin.Token)
	return cmd
}

// race times one bot from its first poll to the last answer, by the clock and on a
// processor. All updates wait before it starts.
func (b *bench) race(name string, run int) (outcome, error) {
	api := standin.New()
	defer api.Close()
	for i := range b.updates {
		n := 1 + i/b.chats
		api.Push(standin.Private(int64(5000+i%b.chats), n, fmt.Sprintf("%s no %d", question, n)))
	}
	polls := make(chan time.Time, 1)
	api.Spoil(standin.On("getUpdates", func(*standin.Exchange) bool {
		select {
		case polls <- time.Now():
		default:
		}
		return false
	}))
	cmd := b.command(name, api.URL, run)
	if err := cmd.Start(); err != nil {
		return outcome{}, err
	}
	first, starting, err := firstPoll(polls, cmd.Process.Pid)
	if err != nil {
		_ = cmd.Process.Kill()
		return outcome{}, errors.Join(err, cmd.Wait())
	}
	calls := await(api, b.updates)
	peak, err := memory(cmd.Process.Pid, "VmHWM")
	_ = cmd.Process.Kill()
	_ = cmd.Wait()
	answers := slices.DeleteFunc(calls, func(c standin.Call) bool { return c.Method != "sendMessage" })
	if len(answers) == 0 {
		return outcome{}, errors.New("no answer at all")
	}
	busy := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime() - starting
	return outcome{
		perSecond:  float64(len(answers)) / answers[len(answers)-1].At.Sub(first).Seconds(),
		cpuMicros:  float64(busy.Microseconds()) / float64(len(answers)),
		peakMB:     peak,
		disordered: disordered(name, answers),
		lost:       b.updates - len(answers),
	}, err
}

// firstPoll is when a bot first polled, and what it had of a processor until then.
func firstPoll(polls <-chan time.Time, pid int) (at time.Time, busy time.Duration, err error) {
	select {
	case at = <-polls:
		busy, err = processorOf(pid)
	case <-time.After(patience):
		err = errors.New("it does not poll")
	}
	return at, busy, err
}

// await waits for n visible calls as long as more come.
func await(api *standin.Server, n int) []standin.Call {
	for {
		before := api.Count()
		for until := time.Now().Add(patience); api.Count() == before && before < n && time.Now().Before(until); {
			time.Sleep(5 * time.Millisecond)
		}
		if now := api.Count(); now == before || now >= n {
			return api.Calls()
		}
	}
}

// disordered is true when echoes reached a chat in another order than they were
// asked for. Full answers all read the same, so that they are not looked at.
func disordered(name string, answers []standin.Call) bool {
	last := map[int64]int{}
	for _, a := range answers {
		var n int
		if _, err := fmt.Sscanf(a.Text, question+" no %d", &n); err != nil || name == full {
			continue
		}
		if n < last[a.Chat] {
			return true
		}
		last[a.Chat] = n
	}
	return false
}
