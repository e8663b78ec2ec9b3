package main

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"deepward/bot/telegram/standin"
)

// export measures a big log: what it takes to write it, beside the sqlite3 shell
// with the same rows, and what memory the bot has with it.
func (b *bench) export() error {
	dir := filepath.Join(b.dir, "big")
	if out, err := exec.Command(b.program, "demo", "--dir", dir, "--reports", fmt.Sprint(b.reports)).CombinedOutput(); err != nil {
		return fmt.Errorf("%w: %s", err, out)
	}
	store := []string{"--db", filepath.Join(dir, "demo.db"), "--key-file", filepath.Join(dir, "demo.key")}
	csv := filepath.Join(dir, "log.csv")
	ours := func() (*exec.Cmd, error) {
		return exec.Command(b.program, append([]string{"export", "--format", "table", "-o", csv}, store...)...), nil
	}
	if _, err := timed(ours); err != nil {
		return err
	}
	shell, err := b.sqlite(csv, filepath.Join(dir, "log.sqlite"))
	if err != nil {
		return err
	}
	var own, other []usage
	for range b.runs {
		for _, side := range []struct {
			run  func() (*exec.Cmd, error)
			list *[]usage
		}{{ours, &own}, {shell, &other}} {
			u, err := timed(side.run)
			if err != nil {
				return err
			}
			*side.list = append(*side.list, u)
		}
	}
	mine, theirs := middleUse(own), middleUse(other)
	what := fmt.Sprintf("%d reports to CSV", b.reports)
	b.table.add(row{what: what, figure: mine.seconds, unit: "s", peer: "sqlite3 -csv, the same rows", other: theirs.seconds, note: fmt.Sprintf("%.1f and %.1f s of a processor", mine.cpu, theirs.cpu)})
	b.table.add(row{what: what + ", memory at most", figure: mine.peakMB, unit: "MB", peer: "sqlite3 -csv", other: theirs.peakMB, note: "pages of the file that the kernel may drop are in it"})
	for _, format := range []string{"xlsx", "dwca"} {
		if err := b.format(dir, format, store); err != nil {
			return err
		}
	}
	page, err := timed(func() (*exec.Cmd, error) {
		return exec.Command(b.program, append([]string{"report", "-o", filepath.Join(dir, "season.html")}, store...)...), nil
	})
	if err != nil {
		return err
	}
	b.table.add(row{what: fmt.Sprintf("season report of %d", b.reports), figure: page.seconds, unit: "s", peer: "the aim", other: b.inProportion(aimReport), note: fmt.Sprintf("%.0f MB at most, %s", page.peakMB, page.onProcessor())})
	return b.atRest(store)
}

// What writing and reading a log of a million may take, in seconds and MB: ours.
const (
	aimFormat, aimFormatMB = 30.0, 100.0
	aimReport              = 5.0
	aimImport, aimImportMB = 60.0, 300.0
)

// inProportion is the time that an aim for a million leaves for the log measured here.
func (b *bench) inProportion(seconds float64) float64 { return seconds * float64(b.reports) / 1e6 }

// format measures the writing of the log in one format.
func (b *bench) format(dir, format string, store []string) error {
	var list []usage
	for range b.runs {
		u, err := timed(func() (*exec.Cmd, error) {
			return exec.Command(b.program, append([]string{"export", "--format", format, "--license", "cc0", "-o", filepath.Join(dir, "log."+format)}, store...)...), nil
		})
		if err != nil {
			return err
		}
		list = append(list, u)
	}
	u := middleUse(list)
	what := fmt.Sprintf("%d reports to %s", b.reports, format)
	b.table.add(row{what: what, figure: u.seconds, unit: "s", peer: "the aim", other: b.inProportion(aimFormat), note: u.onProcessor()})
	b.table.add(row{what: what + ", memory at most", figure: u.peakMB, unit: "MB", peer: "the aim", other: aimFormatMB, note: "pages of the file that the kernel may drop are in it"})
	return nil
}

// imports measures the taking in of a table of as many invented rows, and the report of
// what was taken in, in which every fish has a tag.
func (b *bench) imports() error {
	table := filepath.Join(b.dir, "old-log.csv")
	if err := writeTable(table, b.reports); err != nil {
		return err
	}
	store := []string{"--db", filepath.Join(b.dir, "old.db"), "--key-file", filepath.Join(b.dir, "old.key")}
	u, err := timed(func() (*exec.Cmd, error) {
		return exec.Command(b.program, append([]string{"import", table, "--keep", "--season", "Old"}, store...)...), nil
	})
	if err != nil {
		return err
	}
	what := fmt.Sprintf("a table of %d rows taken in", b.reports)
	b.table.add(row{what: what, figure: u.seconds, unit: "s", peer: "the aim", other: b.inProportion(aimImport), note: u.onProcessor()})
	b.table.add(row{what: what + ", memory at most", figure: u.peakMB, unit: "MB", peer: "the aim", other: aimImportMB, note: "pages of the file that the kernel may drop are in it"})
	if u, err = timed(func() (*exec.Cmd, error) {
		return exec.Command(b.program, append([]string{"report", "-o", filepath.Join(b.dir, "old.html")}, store...)...), nil
	}); err != nil {
		return err
	}
	b.table.add(row{what: "season report of that, every fish with a tag", figure: u.seconds, unit: "s", peer: "the aim", other: b.inProportion(aimReport), note: fmt.Sprintf("%.0f MB at most, %s", u.peakMB, u.onProcessor())})
	return nil
}

// writeTable invents a table of tagged fish, the same each time.
func writeTable(path string, rows int) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	w := bufio.NewWriter(f)
	fmt.Fprintln(w, "Date,Time,Species,Depth (m),Length (cm FL),Release method,Tag,Lat,Lon,Recaptured,Recapture date,Condition")
	kinds := []string{"red snapper", "gag", "scamp", "red grouper", "vermilion snapper"}
	ways := []string{"surface", "vented", "descended"}
	for i := range rows {
		day := time.Date(2005, 1, 1, 6, 0, 0, 0, time.UTC).Add(time.Duration(i) * 10 * time.Minute)
		again, when := "no", ""
		if i%20 == 0 {
			again, when = "yes", day.AddDate(0, 2, 0).Format(time.DateOnly)
		}
		fmt.Fprintf(w, "%s,%s,%s,%d,%d,%s,T%07d,%.3f,%.3f,%s,%s,%s\n", day.Format(time.DateOnly), day.Format("15:04"), kinds[i%len(kinds)], 20+i%90,
			30+i%37, ways[i%len(ways)], i, 27+float64(i%997)/1000, -84-float64(i%991)/1000, again, when, []string{"swam down", "floated"}[i%2])
	}
	return errors.Join(w.Flush(), f.Close())
}

// sqlite puts the exported rows into a database and says how its shell exports them.
func (b *bench) sqlite(csv, db string) (func() (*exec.Cmd, error), error) {
	load := exec.Command("sqlite3", db, ".mode csv", ".import "+csv+" log", ".mode list", "select count(*) from log;")
	out, err := load.CombinedOutput()
	if err != nil {
		return nil, fmt.Errorf("the sqlite3 shell: %w: %s", err, out)
	}
	if strings.TrimSpace(string(out)) != fmt.Sprint(b.reports) {
		return nil, fmt.Errorf("sqlite3 has %s of %d rows", bytes.TrimSpace(out), b.reports)
	}
	return func() (*exec.Cmd, error) {
		cmd := exec.Command("sqlite3", "-csv", "-header", db, "select * from log;")
		f, err := os.Create(db + ".csv")
		cmd.Stdout = f
		return cmd, err
	}, nil
}

// usage is what one run of a command took; cpu is in seconds of one processor.
type usage struct{ seconds, peakMB, cpu float64 }

func (u usage) onProcessor() string { return fmt.Sprintf("%.1f s of a processor", u.cpu) }

func timed(make func() (*exec.Cmd, error)) (usage, error) {
	cmd, err := make()
	if err != nil {
		return usage{}, err
	}
	began := time.Now()
	err = cmd.Run()
	took := time.Since(began)
	if f, ok := cmd.Stdout.(io.Closer); ok {
		f.Close()
	}
	if err != nil {
		return usage{}, fmt.Errorf("%v: %w", cmd.Args, err)
	}
	r, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage)
	if !ok {
		return usage{}, errors.New("no usage of the process is known")
	}
	cpu := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	return usage{took.Seconds(), float64(r.Maxrss) / 1024, cpu.Seconds()}, nil
}

func middleUse(list []usage) usage {
	var s, m, c []float64
	for _, u := range list {
		s, m, c = append(s, u.seconds), append(m, u.peakMB), append(c, u.cpu)
	}
	return usage{median(s), median(m), median(c)}
}

// atRest is the memory of the bot that serves the big log, after some questions
// and a pause.
func (b *bench) atRest(store []string) error {
	api := standin.New()
	defer api.Close()
	cmd := b.serve(api.URL, store[1], store[3])
	if err := cmd.Start(); err != nil {
		return err
	}
	defer func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	}()
	const questions = 200
	for i := range questions {
		api.Push(standin.Private(int64(5000+i%20), i, question))
	}
	if n := len(api.Await(questions, patience)); n < questions {
		return fmt.Errorf("%d of %d answers", n, questions)
	}
	time.Sleep(10 * time.Second)
	all, err := memory(cmd.Process.Pid, "VmRSS")
	if err != nil {
		return err
	}
	own, err := memory(cmd.Process.Pid, "RssAnon")
	what := fmt.Sprintf("memory at rest with %d reports", b.reports)
	b.table.add(row{what: what, figure: all, unit: "MB", peer: "the aim", other: aimMemory, note: fmt.Sprintf("%.0f MB of it are no file's pages", own)})
	return err
}
