package main

import (
	"context"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"
	gobot "github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"
	"github.com/mymmrac/telego"
	"github.com/mymmrac/telego/telegohandler"
	"gopkg.in/telebot.v4"

	"deepward/bot/telegram/standin"
)

// bots are bare echo bots, each written as its framework's own introduction does,
// and run until killed. They keep nothing: what they hold is lost with them.
var bots = map[string]func(url string) error{
	"tgbotapi-loop":    tgbotapiLoop,
	"tgbotapi-many":    tgbotapiMany,
	"telebot":          echoTelebot,
	"go-telegram-bot":  echoGoTelegramBot,
	"telego":           echoTelego,
	"telego-handler":   echoTelegoHandler,
	"our-loop-echoing": echoOurLoop,
}

func tgbotapiUpdates(url string) (*tgbotapi.BotAPI, tgbotapi.UpdatesChannel, error) {
	api, err := tgbotapi.NewBotAPIWithAPIEndpoint(standin.Token, url+"/bot%s/%s")
	if err != nil {
		return nil, nil, err
	}
	u := tgbotapi.NewUpdate(0)
	u.Timeout = 50
	return api, api.GetUpdatesChan(u), nil
}

// tgbotapiLoop answers one after the other.
func tgbotapiLoop(url string) error {
	api, updates, err := tgbotapiUpdates(url)
	if err != nil {
		return err
	}
	for u := range updates {
		if u.Message != nil {
			_, _ = api.Send(tgbotapi.NewMessage(u.Message.Chat.ID, u.Message.Text))
		}
	}
	return nil
}

// tgbotapiMany answers each in a goroutine of its own; the order is lost.
func tgbotapiMany(url string) error {
	api, updates, err := tgbotapiUpdates(url)
	if err != nil {
		return err
	}
	for u := range updates {
		if u.Message != nil {
			go func() { _, _ = api.Send(tgbotapi.NewMessage(u.Message.Chat.ID, u.Message.Text)) }()
		}
	}
	return nil
}

func echoTelebot(url string) error {
	b, err := telebot.NewBot(telebot.Settings{URL: url, Token: standin.Token, Poller: &telebot.LongPoller{Timeout: pollWait}})
	if err != nil {
		return err
	}
	b.Handle(telebot.OnText, func(c telebot.Context) error { return c.Send(c.Text()) })
	b.Start()
	return nil
}

func echoGoTelegramBot(url string) error {
	b, err := gobot.New(standin.Token, gobot.WithServerURL(url), gobot.WithDefaultHandler(func(ctx context.Context, b *gobot.Bot, u *models.Update) {
		if u.Message != nil {
			_, _ = b.SendMessage(ctx, &gobot.SendMessageParams{ChatID: u.Message.Chat.ID, Text: u.Message.Text})
		}
	}))
	if err != nil {
		return err
	}
	b.Start(context.Background())
	return nil
}

func telegoUpdates(url string) (*telego.Bot, <-chan telego.Update, error) {
	b, err := telego.NewBot(standin.Token, telego.WithAPIServer(url))
	if err != nil {
		return nil, nil, err
	}
	updates, err := b.UpdatesViaLongPolling(context.Background(), nil)
	return b, updates, err
}

func echoTelego(url string) error {
	b, updates, err := telegoUpdates(url)
	if err != nil {
		return err
	}
	for u := range updates {
		if u.Message != nil {
			_, _ = b.SendMessage(context.Background(), echoOf(*u.Message))
		}
	}
	return nil
}

// echoTelegoHandler answers each in a goroutine of its own; the order is lost.
func echoTelegoHandler(url string) error {
	b, updates, err := telegoUpdates(url)
	if err != nil {
		return err
	}
	h, err := telegohandler.NewBotHandler(b, updates)
	if err != nil {
		return err
	}
	h.HandleMessage(func(ctx *telegohandler.Context, m telego.Message) error {
		_, err := ctx.Bot().SendMessage(ctx, echoOf(m))
		return err
	})
	return h.Start()
}

func echoOf(m telego.Message) *telego.SendMessageParams {
	return &telego.SendMessageParams{ChatID: telego.ChatID{ID: m.Chat.ID}, Text: m.Text}
}
