package store

import (
	"bytes"
	"fmt"
	"slices"
	"time"

	"deepward/store/catch"
)

func seasonKey(chat catch.ClubID, name string) []byte { return append(signed64(chat), name...) }

// PutSeason keeps a season under its chat and name.
func (t *Tx) PutSeason(s catch.Season) error {
	value, err := encMode.Marshal(s)
	if err != nil {
		return fmt.Errorf("packing season %s: %w", s.Name, err)
	}
	key := seasonKey(s.Chat, s.Name)
	return t.bucket(bucketSeasons).Put(key, t.s.sealer.seal(value, place(bucketSeasons, key)))
}

// Season returns one season of a chat; false if there is none of that name.
func (t *Tx) Season(chat catch.ClubID, name string) (catch.Season, bool, error) {
	var s catch.Season
	key := seasonKey(chat, name)
	value := t.bucket(bucketSeasons).Get(key)
	if value == nil {
		return s, false, nil
	}
	s, err := t.seasonOf(key, value)
	return s, true, err
}

// seasonOf reads an entry of the seasons.
func (t *Tx) seasonOf(key, value []byte) (s catch.Season, err error) {
	plain, err := t.s.sealer.open(value, place(bucketSeasons, key))
	if err == nil {
		err = decMode.Unmarshal(plain, &s)
	}
	if err != nil {
		return s, fmt.Errorf("a season cannot be read: %w", err)
	}
	return s, nil
}

// Seasons returns the seasons of a chat in order of opening; chat 0 is all.
func (t *Tx) Seasons(chat catch.ClubID) ([]catch.Season, error) {
	var prefix []byte
	if chat != 0 {
		prefix = signed64(chat)
	}
	var list []catch.Season
	c := t.bucket(bucketSeasons).Cursor()
	for k, v := c.Seek(prefix); k != nil && bytes.HasPrefix(k, prefix); k, v = c.Next() {
		s, err := t.seasonOf(k, v)
		if err != nil {
			return nil, err
		}
		list = append(list, s)
	}
	slices.SortStableFunc(list, func(a, b catch.Season) int { return a.Opens.Compare(b.Opens) })
	return list, nil
}

// SeasonAt is the name of the open season of a chat that holds that moment, ""
// if there is none.
func (t *Tx) SeasonAt(chat catch.ClubID, at time.Time) (string, error) {
	seasons, err := t.Seasons(chat)
	if err != nil || chat == 0 {
		return "", err
	}
	for _, s := range slices.Backward(seasons) {
		if !s.Closed && !at.Before(s.Opens) && !at.After(s.Closes) {
			return s.Name, nil
		}
	}
	return "", nil
}
