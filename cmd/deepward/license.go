package main

import (
	"bufio"
	"cmp"
	"errors"
	"fmt"

	"deepward/store"
	"deepward/store/catch"
	"deepward/store/export"
)

// license is the licence of the flag, none if it is not given.
func (c exportCmd) license() (export.License, error) {
	if c.License == "" {
		return export.License{}, nil
	}
	l, err := export.ParseLicense(c.License)
	if err != nil {
		return l, usage("--license %v", err)
	}
	return l, nil
}

// licensed fills in the licence and the contact: those of the flags, else those that are
// kept with the season, else what is answered. What is new is kept for the next time.
func (c exportCmd) licensed(e env, s *store.Store, copied bool, o *export.Options, given export.License) error {
	o.License, o.Contact = given, c.Contact
	var kept catch.Season
	err := s.View(func(tx *store.Tx) error {
		seasons, err := c.seasons(tx)
		for _, one := range seasons {
			kept.License, kept.Contact = cmp.Or(kept.License, one.License), cmp.Or(kept.Contact, one.Contact)
		}
		return err
	})
	if err != nil {
		return err
	}
	o.Contact = cmp.Or(o.Contact, kept.Contact)
	if o.License == (export.License{}) && kept.License != "" {
		o.License, err = export.ParseLicense(kept.License)
	}
	if err == nil && o.License == (export.License{}) && o.Format.NeedsLicense() {
		o.License, err = askLicense(e)
	}
	if err != nil || o.License.URI == kept.License && o.Contact == kept.Contact {
		return err
	}
	if copied {
		fmt.Fprintln(e.err, "deepward: the store is in use, so the licence was not kept with the season; give it again next time")
		return nil
	}
	return c.keepLicense(s, *o)
}

// seasons are those that the export is of.
func (c exportCmd) seasons(tx *store.Tx) ([]catch.Season, error) {
	all, err := tx.Seasons(c.Chat)
	var list []catch.Season
	for _, one := range all {
		if c.Season == "" || one.Name == c.Season {
			list = append(list, one)
		}
	}
	return list, err
}

// keepLicense keeps licence and contact with the seasons.
func (c exportCmd) keepLicense(s *store.Store, o export.Options) error {
	return s.Update(func(tx *store.Tx) error {
		list, err := c.seasons(tx)
		for _, one := range list {
			one.License, one.Contact = o.License.URI, o.Contact
			err = errors.Join(err, tx.PutSeason(one))
		}
		return err
	})
}

// askLicense asks at a keyboard; elsewhere the error says which flag answers.
func askLicense(e env) (export.License, error) {
	if !atKeyboard(e.in) {
		return export.License{}, usage("this format is made to be passed on: say what others may do with it, once: --license cc0, cc-by or cc-by-nc")
	}
	fmt.Fprintln(e.err, "This format is made to be passed on. What may others do with it?")
	for i, l := range export.Licenses {
		fmt.Fprintf(e.err, "  %d  %s\n", i+1, l.Name)
	}
	fmt.Fprint(e.err, "> ")
	lines := bufio.NewScanner(e.in)
	lines.Scan()
	for i, l := range export.Licenses {
		if lines.Text() == fmt.Sprint(i+1) {
			return l, nil
		}
	}
	l, err := export.ParseLicense(lines.Text())
	if err != nil {
		return l, usage("%v", err)
	}
	return l, nil
}

// inventedIn is true for made-up reports: the first tells.
func inventedIn(tx *store.Tx, f catch.Filter) bool {
	for r, err := range tx.Reports(f) {
		if err == nil {
			return r.Origin == catch.Invented
		}
	}
	return false
}
