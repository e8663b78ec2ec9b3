// Command peers measures deepward beside others of its kind, in one run on one
// machine, and prints a table of figures with their ratios, each row as it is measured. It
// is a module of its own, so that what it measures against is no part of the program.
//
//	peers                    everything, in less than five minutes on two quiet cores
//	peers -only loop,store   some of it: advice, start, loop, pace, store, export, import
//	peers -reports 1000000   the big log as big as the aims have it; minutes more
//	peers -runs 5            more runs; each figure is the median of the runs
package main

import (
	"cmp"
	"flag"
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// bench is one session of measuring.
type bench struct {
	runs int
	// updates and chats are what each bot of the loop is given.
	updates, chats int
	// reports is the size of the big log.
	reports int
	dir     string
	program string
	table   table
}

func main() {
	log.SetFlags(0)
	log.SetPrefix("peers: ")
	if len(os.Args) == 4 && os.Args[1] == "bot" {
		favour()
		log.Fatal(bots[os.Args[2]](os.Args[3]))
	}
	b := bench{table: table{w: os.Stdout}}
	only := flag.String("only", "advice,start,loop,pace,store,export,import", "what to measure")
	flag.IntVar(&b.runs, "runs", 3, "runs of each; the median counts")
	flag.IntVar(&b.updates, "updates", 4_000, "updates for each bot of the loop")
	flag.IntVar(&b.chats, "chats", 100, "chats that they come from")
	flag.IntVar(&b.reports, "reports", 100_000, "reports in the big log; aims for a million are taken in proportion")
	most := flag.Duration("most", 4*time.Minute, "after so long no other part begins")
	flag.Parse()
	if err := b.measure(strings.Split(*only, ","), time.Now().Add(*most)); err != nil {
		log.Fatal(err)
	}
}

// measure does the parts one after the other; those that have not begun by the deadline are
// named and left out.
func (b *bench) measure(parts []string, deadline time.Time) (err error) {
	if b.dir, err = os.MkdirTemp("", "deepward-peers-"); err != nil {
		return err
	}
	defer os.RemoveAll(b.dir)
	b.program = filepath.Join(b.dir, "deepward")
	build := exec.Command("go", "build", "-C", "../..", "-trimpath", "-o", b.program, "./cmd/deepward")
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	if out, err := build.CombinedOutput(); err != nil {
		return fmt.Errorf("building the program: %w\n%s", err, out)
	}
	known := map[string]func() error{"advice": b.advice, "loop": b.loop, "pace": b.pace, "start": b.start, "store": b.durable, "export": b.export, "import": b.imports}
	for i, name := range parts {
		if time.Now().After(deadline) {
			log.Printf("no time was left for %s; -only measures them, -most gives more time", strings.Join(parts[i:], ","))
			return nil
		}
		do, ok := known[name]
		if !ok {
			return fmt.Errorf("%q: choose from advice, start, loop, pace, store, export, import", name)
		}
		if err := do(); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	return nil
}

// medianOf runs something several times and returns the figure in the middle.
func (b *bench) medianOf(one func() (float64, error)) (float64, error) {
	var all []float64
	for range b.runs {
		x, err := one()
		if err != nil {
			return 0, err
		}
		all = append(all, x)
	}
	return median(all), nil
}

// median is the middle of the values; the upper one of two.
func median[T cmp.Ordered](list []T) T {
	list = slices.Sorted(slices.Values(list))
	return list[len(list)/2]
}
