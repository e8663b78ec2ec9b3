package bot

import (
	"errors"
	"strconv"
	"strings"

	"deepward/store"
)

func ignoreMissing(err error) error {
	if errors.Is(err, store.ErrNoReport) {
		return nil
	}
	return err
}

// remember keeps what a delivered message was about, so that an answer to it
// can be understood, and a question's answer can be replaced in place.
func remember(tx *store.Tx, r Reply, message int) error {
	if r.Ref == "" || message == 0 {
		return nil
	}
	chat, err := tx.ChatNumber(r.Chat)
	if err != nil {
		return err
	}
	if err := tx.Put(kindSent, key(chat, tx.MessageNumber(r.Chat, message)), r.Ref); err != nil {
		return err
	}
	return rememberAnswer(tx, r.Ref, message)
}

// rememberAnswer notes with a kept question which message carries its answer.
func rememberAnswer(tx *store.Tx, reference string, message int) error {
	parts := strings.Split(reference, "/")
	if parts[0] != kindQuestion || len(parts) != 3 {
		return nil
	}
	person, err := strconv.ParseInt(parts[1], 10, 64)
	if err != nil {
		return nil
	}
	own := key(tx.PersonKey(person), parts[2])
	asked, err := load[Asked](tx, kindQuestion, own)
	if err != nil || len(asked.Fish) == 0 || asked.Reply == message {
		return err
	}
	asked.Reply = message
	return tx.Put(kindQuestion, own, asked)
}
