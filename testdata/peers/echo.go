package main

import (
	"context"
	"net/http"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"
	gobot "github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"
	"github.com/mymmrac/telego"
	"gopkg.in/telebot.v4"

	"deepward/bot/telegram/standin"
)

// bots are bare echo bots, each written as its framework's own introduction does,
// one with many answers at once beside one with an answer at a time where the
// framework leaves that to its user. They run until killed and keep nothing: what they
// hold is lost with them.
var bots = map[string]func(url string) error{
	"tgbotapi-loop":    tgbotapiLoop,
	"tgbotapi-many":    tgbotapiMany,
	"telebot":          echoTelebot,
	"go-telegram-bot":  echoGoTelegramBot,
	"telego":           echoTelego,
	"telego-many":      echoTelegoMany,
	"our-loop-echoing": echoOurLoop,
}

// favour gives the bots that use Go's usual HTTP client a connection for each answer
// under way; as it comes, it would close and open one for most.
func favour() {
	if t, ok := http.DefaultTransport.(*http.Transport); ok {
		t.MaxIdleConnsPerHost = 64
	}
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
	b, err := telego.NewBot(standin.Token, telego.WithAPIServer(url), telego.WithDiscardLogger())
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

// echoTelegoMany answers each in a goroutine of its own; the order is lost.
func echoTelegoMany(url string) error {
	b, updates, err := telegoUpdates(url)
	if err != nil {
		return err
	}
	for u := range updates {
		if u.Message != nil {
			go func() { _, _ = b.SendMessage(context.Background(), echoOf(*u.Message)) }()
		}
	}
	return nil
}

func echoOf(m telego.Message) *telego.SendMessageParams {
	return &telego.SendMessageParams{ChatID: telego.ChatID{ID: m.Chat.ID}, Text: m.Text}
}
