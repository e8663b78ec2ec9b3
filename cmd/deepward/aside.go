package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"text/tabwriter"
	"time"

	"deepward/store"
)

// asideCmd lists what serve set aside: updates that it could not read or that broke
// it, and waiting replies that are damaged.
type asideCmd struct {
	storeFlags
	Out string `help:"Write the updates as they came to this file, one a line. They hold what people wrote." type:"path" short:"o"`
}

func (asideCmd) Help() string {
	return `Example:

    deepward failed

It shows numbers and causes, not what people wrote. What is there goes after 14
days. After an upgrade, deepward serve --retry-failed tries them again.`
}

func (c asideCmd) Run(e env) error {
	s, err := c.openToRead(context.Background(), e)
	if err != nil {
		return err
	}
	defer s.Close()
	var list []store.Aside
	if err := s.View(func(tx *store.Tx) (err error) { list, err = tx.SetAsides(); return err }); err != nil {
		return err
	}
	if c.Out == "" {
		return listAside(e.out, list)
	}
	written := 0
	err = writeFile(c.Out, forOwner, func(w io.Writer) error {
		for _, a := range list {
			if a.Reply {
				continue
			}
			written++
			if _, err := fmt.Fprintf(w, "%s\n", oneLine(a.Raw)); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	fmt.Fprintf(e.out, "%d updates written to %s; it holds what people wrote: keep it from others, and delete it when it has served\n", written, c.Out)
	return nil
}

func listAside(w io.Writer, list []store.Aside) error {
	if len(list) == 0 {
		_, err := fmt.Fprintln(w, "no failed updates")
		return err
	}
	tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tab, "SINCE\tWHAT\tNUMBER\tBYTES\tWHY")
	for _, a := range list {
		what := "update"
		if a.Reply {
			what = "reply"
		}
		fmt.Fprintf(tab, "%s\t%s\t%d\t%d\t%s\n", a.At.UTC().Format(time.RFC3339), what, a.Number, len(a.Raw), a.Why)
	}
	return tab.Flush()
}

// oneLine is an update on one line: as it came if it is no JSON, as a string then.
func oneLine(raw []byte) []byte {
	if line, err := json.Marshal(json.RawMessage(raw)); err == nil {
		return line
	}
	line, err := json.Marshal(string(raw))
	if err != nil {
		return nil // cannot be: it is a string
	}
	return line
}

// playAgain takes the updates that were set aside out, to be handed over again.
func playAgain(s *store.Store) (raws []json.RawMessage, err error) {
	err = s.Update(func(tx *store.Tx) error {
		list, err := tx.PlayAgain()
		for _, raw := range list {
			raws = append(raws, raw)
		}
		return err
	})
	return raws, err
}
