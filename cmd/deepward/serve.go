package main

import (
	"context"
	"log/slog"
	"os"
	"os/signal"
	"runtime"
	"sync"
	"syscall"
	"time"

	"deepward/bot"
	"deepward/bot/delivery"
	"deepward/bot/files"
	"deepward/bot/telegram"
	"deepward/store"
)

// serveCmd runs the bot on Telegram.
type serveCmd struct {
	configFlag
	storeFlags
	TokenFile         string `help:"File that holds the bot's token." type:"path" default:"" env:"DEEPWARD_TOKEN_FILE"`
	APIURL            string `name:"api-url" help:"Address of a self-hosted Bot API server, for example http://127.0.0.1:8081." env:"DEEPWARD_API_URL"`
	Health            string `help:"Local address for /healthz, /readyz and /metrics; empty for none." default:"127.0.0.1:9480" env:"DEEPWARD_HEALTH"`
	NoLimits          bool   `help:"Send as fast as the server takes it; for a server of your own." env:"DEEPWARD_NO_LIMITS"`
	Check             bool   `help:"Say what is found of token, server, webhook, store and key, then stop."`
	Ready             bool   `help:"Ask the service that runs at the --health address whether it does its work, then stop."`
	WebhookURL        string `help:"Public https address to be pushed to instead of polling." env:"DEEPWARD_WEBHOOK_URL"`
	WebhookListen     string `help:"Local address that receives the pushes." default:"127.0.0.1:8480" env:"DEEPWARD_WEBHOOK_LISTEN"`
	WebhookSecretFile string `help:"File that holds the secret that every push must carry." type:"path" default:"" env:"DEEPWARD_WEBHOOK_SECRET_FILE"`
	WebhookCert       string `help:"TLS certificate, when no proxy does TLS." type:"path" default:"" env:"DEEPWARD_WEBHOOK_CERT"`
	WebhookKey        string `help:"TLS key, when no proxy does TLS." type:"path" default:"" env:"DEEPWARD_WEBHOOK_KEY"`
	BackupDir         string `help:"Folder for a copy of the store each day; those of seven days, four weeks and twelve months are kept." type:"path" default:"" env:"DEEPWARD_BACKUP_DIR"`
	RetryFailed       bool   `help:"First try the failed updates again, as after an upgrade; deepward failed lists them." env:"DEEPWARD_RETRY_FAILED,DEEPWARD_PLAY_ASIDE" aliases:"play-aside"`
	Verbose           bool   `help:"Log more; never what people write." env:"DEEPWARD_VERBOSE"`
}

func (serveCmd) Help() string {
	return `Example:

    DEEPWARD_TOKEN_FILE=/etc/deepward/token deepward serve --check
    DEEPWARD_TOKEN_FILE=/etc/deepward/token deepward serve

The token comes from DEEPWARD_TOKEN or from the file named by DEEPWARD_TOKEN_FILE
or --token-file. With --webhook-url the secret for the header comes from
DEEPWARD_WEBHOOK_SECRET or a file. Every setting can stand in a file named with
--config; flags win over the environment, the environment over the file.`
}

func (c serveCmd) Run(e env) error {
	if c.Ready {
		return c.askReady(context.Background(), e)
	}
	log := serviceLog(e, c.Verbose)
	config, err := c.telegram(e, log)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if c.Check {
		return c.check(ctx, e, config)
	}
	defer heedHangups(log)()
	bot.Warm()
	engine := bot.NewEngine()
	if err := engine.SelfTest(); err != nil {
		return err
	}
	s, err := store.Open(c.path(), store.Options{KeyFile: c.key(), Now: e.now, Log: log})
	if err != nil {
		return err
	}
	defer s.Close()
	if readableByAll(c.key()) {
		log.Warn(openKeyAdvice(c.key()))
	}
	var copies sync.WaitGroup
	defer copies.Wait()
	defer stop() // also when an error ends the serving
	if _, err := s.Glance(ctx); err != nil {
		return err
	}
	copies.Go(func() { s.Sweep(ctx, time.Hour) })
	copies.Go(func() { s.Probe(ctx, 4*time.Second) })
	copies.Go(func() { s.Patrol(ctx) })
	if c.BackupDir != "" {
		copies.Go(func() { s.BackupEvery(ctx, c.BackupDir, time.Hour, 7) })
	}
	copies.Go(func() { easeMemory(ctx, e.now, func() time.Time { return s.State().WrittenAt }) })
	built := thisBuild()
	log.Info("deepward starts", "commit", built.commit, "date", built.date, "go", runtime.Version())
	config.Gauges, config.Unready = c.gauges(s, e.now, built), c.unready(s, e.now)
	desk := &bot.Desk{Store: s, Engine: engine, Maker: files.New(s, e.now), Log: log}
	config.SetAside = desk.SetAside
	config.Supervisor, config.AliveEvery = supervisor(os.Getenv)
	if c.RetryFailed {
		if config.Again, err = playAgain(s); err != nil {
			return err
		}
	}
	return telegram.Run(ctx, config, desk)
}

// telegram turns the flags into what the service takes.
func (c serveCmd) telegram(e env, log *slog.Logger) (telegram.Config, error) {
	token, found, err := c.token()
	if err != nil {
		return telegram.Config{}, usage("%v", err)
	}
	hook, err := findSecret("DEEPWARD_WEBHOOK_SECRET", c.WebhookSecretFile)
	if err != nil {
		return telegram.Config{}, usage("%v", err)
	}
	for file, s := range map[string]secret{c.TokenFile: found, c.WebhookSecretFile: hook} {
		if s.open && !c.Check {
			log.Warn(openAdvice(file))
		}
	}
	config := telegram.Config{
		Token: token, APIURL: c.APIURL, Health: c.Health, Limits: telegram.DefaultLimits,
		Webhook:  telegram.Webhook{URL: c.WebhookURL, Listen: c.WebhookListen, Secret: hook.text, CertFile: c.WebhookCert, KeyFile: c.WebhookKey},
		Commands: bot.Commands, Log: log, Now: e.now,
	}
	if c.NoLimits {
		config.Limits = delivery.Limits{}
	}
	if err := config.Validate(); err != nil {
		return telegram.Config{}, usage("%v", err)
	}
	return config, nil
}

// serviceLog writes one JSON object a line to standard error.
func serviceLog(e env, verbose bool) *slog.Logger {
	level := slog.LevelInfo
	if verbose {
		level = slog.LevelDebug
	}
	return slog.New(slog.NewJSONHandler(e.err, &slog.HandlerOptions{Level: level}))
}
