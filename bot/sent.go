package bot

import (
	"errors"
	"strconv"
	"strings"

	"deepward/store"
	"deepward/store/catch"
)

func ignoreMissing(err error) error {
	if errors.Is(err, store.ErrNoReport) {
		return nil
	}
	return err
}

// remember keeps what a delivered message was about, so that an answer to it
// can be understood, and a question's answer can be replaced in place. Of a person
// who was forgotten while the message was on its way it keeps nothing.
func remember(tx *store.Tx, r Reply, message int) error {
	if r.Ref == "" || message == 0 {
		return nil
	}
	if isCard, err := rememberCard(tx, r, message); isCard || err != nil {
		return err
	}
	if question, ok := questionIn(tx, r.Ref); ok {
		if !tx.Has(kindQuestion, question) {
			return nil
		}
		if err := tx.Put(kindAnswered, question, message); err != nil {
			return err
		}
	}
	chat, err := tx.ChatNumber(r.Chat)
	if err != nil {
		return err
	}
	return tx.Put(kindSent, key(chat, tx.MessageNumber(r.Chat, message)), r.Ref)
}

// questionIn is the key of the question that a reference names.
func questionIn(tx own, reference string) (question string, ok bool) {
	parts := strings.Split(reference, "/")
	if parts[0] != kindQuestion || len(parts) != 3 {
		return "", false
	}
	person, err := strconv.ParseInt(parts[1], 10, 64)
	return key(tx.PersonKey(catch.PersonID(person)), parts[2]), err == nil
}

// answeredBy is the number of the message that carries the answer to a question of
// the person, 0 if none is known.
func (t *turn) answeredBy(n uint64) (int, error) {
	return load[int](t.tx, kindAnswered, t.ownKey(n))
}
