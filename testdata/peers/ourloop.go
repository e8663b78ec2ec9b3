package main

import (
	"context"
	"errors"
	"sync/atomic"
	"time"

	"deepward/bot"
	"deepward/bot/telegram"
	"deepward/bot/telegram/standin"
	"deepward/store/catch"
)

const pollWait = 50 * time.Second

// echoOurLoop runs the program's own loop on go-telegram-bot-api with a desk that
// echoes and keeps nothing: what the loop alone can do.
func echoOurLoop(url string) error {
	token, err := telegram.NewToken(standin.Token)
	if err != nil {
		return err
	}
	return telegram.Run(context.Background(), telegram.Config{Token: token, APIURL: url}, &echoDesk{})
}

type echoDesk struct{ sendings atomic.Uint64 }

func (d *echoDesk) Take(_ context.Context, batch []bot.Message) (list []bot.Sending, err error) {
	for _, m := range batch {
		list = append(list, bot.Sending{ID: d.sendings.Add(1), Reply: bot.Reply{Chat: m.Chat.ID, Text: m.Text}, QueuedAt: m.ReceivedAt})
	}
	return list, nil
}

func (*echoDesk) ClubsToCheck(_ context.Context, batch []bot.Message) ([][]catch.ChatID, error) {
	return make([][]catch.ChatID, len(batch)), nil
}

func (*echoDesk) Pending(context.Context) ([]bot.Sending, error) { return nil, nil }
func (*echoDesk) Calls(context.Context, time.Time) (map[catch.ChatID][]bot.Call, error) {
	return nil, nil
}
func (*echoDesk) NeedsRole(bot.Message) bool                  { return false }
func (*echoDesk) Settle(context.Context, []bot.Settled) error { return nil }
func (*echoDesk) Make(context.Context, bot.Attachment) (bot.File, error) {
	return bot.File{}, errors.New("an echo has no files")
}
