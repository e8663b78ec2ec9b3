package main

import (
	"context"
	"fmt"
	"log/slog"
	"os"
	"os/signal"
	"syscall"
	"time"

	"deepward/bot"
	"deepward/bot/files"
	"deepward/bot/telegram"
)

// serveCmd runs the bot on Telegram.
type serveCmd struct {
	storeFlags
	APIURL        string `name:"api-url" help:"Address of a self-hosted Bot API server, for example http://127.0.0.1:8081." env:"DEEPWARD_API_URL"`
	Health        string `help:"Local address for /healthz, /readyz and /metrics; empty for none." default:"127.0.0.1:9480" env:"DEEPWARD_HEALTH"`
	NoLimits      bool   `help:"Send as fast as the server takes it; for a server of your own." env:"DEEPWARD_NO_LIMITS"`
	Check         bool   `help:"Check token, server, store and key, then stop."`
	WebhookURL    string `help:"Public https address to be pushed to instead of polling." env:"DEEPWARD_WEBHOOK_URL"`
	WebhookListen string `help:"Local address that receives the pushes." default:"127.0.0.1:8480" env:"DEEPWARD_WEBHOOK_LISTEN"`
	WebhookCert   string `help:"TLS certificate, when no proxy does TLS." type:"path" env:"DEEPWARD_WEBHOOK_CERT"`
	WebhookKey    string `help:"TLS key, when no proxy does TLS." type:"path" env:"DEEPWARD_WEBHOOK_KEY"`
	BackupDir     string `help:"Folder for a copy of the store each day; the newest seven are kept." type:"path" env:"DEEPWARD_BACKUP_DIR"`
	Verbose       bool   `help:"Log more; never what people write."`
}

func (serveCmd) Help() string {
	return `Example: DEEPWARD_TOKEN_FILE=/etc/deepward/token deepward serve
The token comes from DEEPWARD_TOKEN or from the file named by DEEPWARD_TOKEN_FILE.
With --webhook-url the secret for the header is read from DEEPWARD_WEBHOOK_SECRET.`
}

func (c serveCmd) Run(e env) error {
	token, err := telegram.TokenFromEnv(os.Getenv)
	if err != nil {
		return usage("%v", err)
	}
	secret := os.Getenv("DEEPWARD_WEBHOOK_SECRET")
	if c.WebhookURL != "" && secret == "" {
		return usage("--webhook-url needs a secret in DEEPWARD_WEBHOOK_SECRET")
	}
	s, err := c.open(e)
	if err != nil {
		return err
	}
	defer s.Close()
	log := serviceLog(e, c.Verbose)
	desk := &bot.Desk{Store: s, Engine: bot.NewEngine(), Maker: files.New(s, e.now), Log: log}
	config := telegram.Config{
		Token: token, APIURL: c.APIURL, Health: c.Health, Limits: telegram.DefaultLimits,
		Webhook:  telegram.Webhook{URL: c.WebhookURL, Listen: c.WebhookListen, Secret: secret, CertFile: c.WebhookCert, KeyFile: c.WebhookKey},
		Commands: bot.Commands, Log: log, Now: e.now,
	}
	if c.NoLimits {
		config.Limits = telegram.Limits{}
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if c.Check {
		name, err := telegram.Check(ctx, config)
		if err != nil {
			return err
		}
		fmt.Fprintf(e.out, "all is well: @%s, store %s, key %s\n", name, c.path(), c.key())
		return nil
	}
	if c.BackupDir != "" {
		go s.BackupEvery(ctx, c.BackupDir, 24*time.Hour, 7)
	}
	return telegram.Run(ctx, config, desk)
}

// serviceLog writes one JSON object a line to standard error.
func serviceLog(e env, verbose bool) *slog.Logger {
	level := slog.LevelInfo
	if verbose {
		level = slog.LevelDebug
	}
	return slog.New(slog.NewJSONHandler(e.err, &slog.HandlerOptions{Level: level}))
}
