// Command peers measures how many questions a second the whole bot answers, beside
// bare echo bots on general-purpose Telegram frameworks: the same updates from the
// same stand-in server, over loopback, on the same machine in one run. An echo bot
// sends the words back; the full bot understands, advises, keeps everything in a store
// that is synced to the disk, and sends the answer with its buttons.
package main

import (
	"context"
	"flag"
	"fmt"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"runtime/pprof"
	"slices"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"
	gotelegram "github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"
	"github.com/mymmrac/telego"
	telebot "gopkg.in/telebot.v4"

	"deepward/bot"
	"deepward/bot/files"
	"deepward/bot/telegram"
	"deepward/bot/telegram/standin"
	"deepward/store"
)

// runner serves a bot at an address until the context ends.
type runner func(ctx context.Context, url string) error

func main() {
	profile := flag.String("profile", "", "write a CPU profile of the full bot alone to this file")
	n := flag.Int("questions", 2000, "questions in a run")
	runs := flag.Int("runs", 5, "runs of each; the middle one is told")
	flag.Parse()
	// Full runs have the library's idle connections for all: one client for each host
	// would else open one for each message.
	http.DefaultTransport.(*http.Transport).MaxIdleConnsPerHost = 64
	if *profile != "" {
		if err := profiled(*profile, *n); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	peers := []struct {
		name string
		run  runner
	}{
		{"deepward, the full answer", full},
		{"bare echo, telegram-bot-api v5.5.1 (the same library)", echoLibrary},
		{"bare echo, telebot v4", echoTelebot},
		{"bare echo, go-telegram/bot v1", echoGoTelegram},
		{"bare echo, telego v1", echoTelego},
	}
	rates := make([][]float64, len(peers))
	for range *runs { // in turn, so that a noisy minute is shared
		for i, p := range peers {
			rate, err := measure(p.run, *n)
			if err != nil {
				fmt.Fprintf(os.Stderr, "%s: %v\n", p.name, err)
				os.Exit(1)
			}
			rates[i] = append(rates[i], rate)
		}
	}
	fastest := 0.0
	for i := range peers {
		slices.Sort(rates[i])
		if i > 0 {
			fastest = max(fastest, rates[i][len(rates[i])/2])
		}
	}
	fmt.Printf("| %-55s | per second | of the fastest echo |\n|---|---|---|\n", "bot")
	for i, p := range peers {
		middle := rates[i][len(rates[i])/2]
		fmt.Printf("| %-55s | %10.0f | %19.2f |\n", p.name, middle, middle/fastest)
	}
}

// measure puts questions of many people in and takes the time until all are answered.
func measure(run runner, n int) (perSecond float64, err error) {
	server := standin.New()
	defer server.Close()
	for i := range n {
		server.Say(int64(1000+i%500), int64(1000+i%500), "red snapper 45m 3kg eyes bulging")
	}
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	ended := make(chan error, 1)
	start := time.Now()
	go func() { ended <- run(ctx, server.URL) }()
	for server.Count() < n {
		select {
		case err := <-ended:
			return 0, fmt.Errorf("ended early: %w", err)
		case <-time.After(time.Millisecond):
		}
		if time.Since(start) > time.Minute {
			return 0, fmt.Errorf("only %d of %d answered in a minute", server.Count(), n)
		}
	}
	perSecond = float64(n) / time.Since(start).Seconds()
	stop()
	select {
	case <-ended:
	case <-time.After(15 * time.Second):
	}
	return perSecond, nil
}

// profiled runs the full bot once under the CPU profiler.
func profiled(path string, n int) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	defer f.Close()
	if err := pprof.StartCPUProfile(f); err != nil {
		return err
	}
	defer pprof.StopCPUProfile()
	rate, err := measure(full, n)
	fmt.Printf("%.0f a second\n", rate)
	return err
}

func full(ctx context.Context, url string) error {
	dir, err := os.MkdirTemp("", "deepward-peers-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	s, err := store.Open(filepath.Join(dir, "s.db"), store.Options{KeyFile: filepath.Join(dir, "key")})
	if err != nil {
		return err
	}
	defer s.Close()
	token, err := telegram.NewToken(standin.Token)
	if err != nil {
		return err
	}
	log := slog.New(slog.DiscardHandler)
	desk := &bot.Desk{Store: s, Engine: bot.NewEngine(), Maker: files.New(s, time.Now), Log: log}
	return telegram.Run(ctx, telegram.Config{Token: token, APIURL: url, Log: log}, desk)
}

func echoLibrary(ctx context.Context, url string) error {
	api, err := tgbotapi.NewBotAPIWithAPIEndpoint(standin.Token, url+"/bot%s/%s")
	if err != nil {
		return err
	}
	updates := api.GetUpdatesChan(tgbotapi.UpdateConfig{Timeout: 1})
	defer api.StopReceivingUpdates()
	for {
		select {
		case <-ctx.Done():
			return nil
		case u := <-updates:
			if u.Message != nil {
				go api.Send(tgbotapi.NewMessage(u.Message.Chat.ID, u.Message.Text))
			}
		}
	}
}

func echoTelebot(ctx context.Context, url string) error {
	b, err := telebot.NewBot(telebot.Settings{URL: url, Token: standin.Token, Poller: &telebot.LongPoller{Timeout: time.Second}})
	if err != nil {
		return err
	}
	b.Handle(telebot.OnText, func(c telebot.Context) error { return c.Send(c.Text()) })
	go b.Start()
	<-ctx.Done()
	b.Stop()
	return nil
}

func echoGoTelegram(ctx context.Context, url string) error {
	b, err := gotelegram.New(standin.Token, gotelegram.WithServerURL(url), gotelegram.WithWorkers(8),
		gotelegram.WithDefaultHandler(func(ctx context.Context, b *gotelegram.Bot, u *models.Update) {
			if u.Message != nil {
				b.SendMessage(ctx, &gotelegram.SendMessageParams{ChatID: u.Message.Chat.ID, Text: u.Message.Text})
			}
		}))
	if err != nil {
		return err
	}
	b.Start(ctx)
	return nil
}

func echoTelego(ctx context.Context, url string) error {
	b, err := telego.NewBot(standin.Token, telego.WithAPIServer(url), telego.WithDiscardLogger())
	if err != nil {
		return err
	}
	updates, err := b.UpdatesViaLongPolling(ctx, nil)
	if err != nil {
		return err
	}
	for u := range updates {
		if u.Message != nil {
			go b.SendMessage(ctx, &telego.SendMessageParams{ChatID: telego.ChatID{ID: u.Message.Chat.ID}, Text: u.Message.Text})
		}
	}
	return nil
}
