package main

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"deepward/advisor"
	"deepward/bot"
	"deepward/bot/understand"
	"deepward/store"
)

// heardCmd lists what the reader did not understand, for whoever teaches the next one.
type heardCmd struct {
	storeFlags
	People int    `help:"Leave out what fewer people than this wrote: 2 keeps a name that slipped through from being shown." default:"1"`
	Drafts string `help:"Write the messages as drafts of labelled texts to this file, one JSON object a line; - writes them here." placeholder:"FILE"`
}

func (heardCmd) Help() string {
	return `Example:

    deepward heard
    deepward heard --people 2
    deepward heard --drafts drafts.jsonl

It shows words that could not be used (unread), what was asked back about (asked;
# stands for a figure) and what was put right soon after (corrected), with how
often and by how many. Names, places, tags and positions are cut out before
anything is kept; a name in small letters that is no common one can slip through.
It is kept sealed for 90 days, 100 pieces a person, 5,000 in all, and goes with
/forget. Put the drafts right by hand before the reader learns from them.`
}

func (c heardCmd) Run(e env) error {
	s, err := c.openToRead(context.Background(), e)
	if err != nil {
		return err
	}
	defer s.Close()
	var list []store.WhosePuzzle
	var names understand.Taught
	err = s.View(func(tx *store.Tx) (err error) {
		names = bot.NamesTaught(tx)
		list, err = tx.Puzzles()
		return err
	})
	if err != nil {
		return err
	}
	pieces := tally(list, c.People)
	if c.Drafts == "" {
		return listHeard(e.out, pieces, names)
	}
	drafted := drafts(pieces, names)
	if c.Drafts == "-" {
		return writeDrafts(e.out, drafted)
	}
	if err := writeFile(c.Drafts, forOwner, func(w io.Writer) error { return writeDrafts(w, drafted) }); err != nil {
		return err
	}
	fmt.Fprintf(e.out, "%d drafts written to %s; put each right before the reader learns from it\n", len(drafted), c.Drafts)
	return nil
}

// piece is what puzzled the reader, with how often and by how many.
type piece struct {
	store.Puzzle
	times  int
	people map[int]bool
	texts  []store.Puzzle
}

// tally counts pieces of one kind, language and wording, those heard most first; those of
// fewer people are left out.
func tally(list []store.WhosePuzzle, people int) []*piece {
	found := map[string]*piece{}
	var order []*piece
	for _, p := range list {
		key := string(p.Kind) + "\x00" + p.Language + "\x00" + p.Piece
		if found[key] == nil {
			found[key] = &piece{Puzzle: p.Puzzle, people: map[int]bool{}}
			order = append(order, found[key])
		}
		one := found[key]
		one.times++
		one.people[p.Person] = true
		one.texts = append(one.texts, p.Puzzle)
	}
	order = slices.DeleteFunc(order, func(p *piece) bool { return len(p.people) < people })
	slices.SortStableFunc(order, func(a, b *piece) int {
		return cmp.Or(cmp.Compare(b.times, a.times), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Piece, b.Piece))
	})
	return order
}

func listHeard(w io.Writer, pieces []*piece, names understand.Taught) error {
	if len(pieces) == 0 {
		_, err := fmt.Fprintln(w, "nothing is kept that was not understood")
		return err
	}
	tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tab, "TIMES\tPEOPLE\tWHAT\tLANGUAGE\tWORDS")
	for _, p := range pieces {
		words := p.Piece
		if taxon := names[understand.TaughtKey(words)]; taxon != "" {
			words += " (taught: " + fishNamed(taxon) + ")"
		}
		fmt.Fprintf(tab, "%d\t%d\t%s\t%s\t%s\n", p.times, len(p.people), p.Kind, p.Language, words)
	}
	return tab.Flush()
}

func fishNamed(taxon string) string {
	if s := advisor.LookUp(taxon); s != nil {
		return s.EnglishName
	}
	return taxon
}

func writeDrafts(w io.Writer, list []understand.Draft) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	for _, d := range list {
		if err := enc.Encode(d); err != nil {
			return err
		}
	}
	return nil
}

// drafts are the messages that puzzled the reader, each once, as it hears them now with the
// names that were taught.
func drafts(pieces []*piece, names understand.Taught) (list []understand.Draft) {
	reader := understand.NewReader()
	at := map[string]int{}
	for _, p := range pieces {
		for _, text := range p.texts {
			i, known := at[text.Text]
			if !known {
				i = len(list)
				at[text.Text] = i
				list = append(list, reader.Draft(text.Text, understand.Setting{Region: text.Region, Language: text.Language, Names: names}))
			}
			why := fmt.Sprintf("%s: %s", p.Kind, p.Piece)
			if !strings.Contains(list[i].Note, why) {
				list[i].Note = strings.TrimPrefix(list[i].Note+"; "+why, "; ")
			}
		}
	}
	for i := range list {
		list[i].Note = "draft, " + list[i].Note
	}
	return list
}
