// Package telegram carries the conversation over Telegram: messages in by long
// poll or webhook, replies out in order. It knows nothing about fish.
//
// What is promised: an update that the desk has committed is never lost, one
// that comes twice is the desk's to recognise, and a reply that could not be
// sent is sent later, in order within its chat.
package telegram

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"sync"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/bot"
)

// Desk takes messages in and gives replies out; *bot.Desk is one.
type Desk interface {
	// Take commits messages that arrived together and returns their replies.
	Take(ctx context.Context, batch []bot.Message) ([]bot.Sending, error)
	// Pending returns every reply that still waits, in order within each chat.
	Pending(ctx context.Context) ([]bot.Sending, error)
	// Settle notes what became of sendings.
	Settle(ctx context.Context, list []bot.Settled) error
	// Make makes the file that a reply carries.
	Make(ctx context.Context, a bot.Attachment) (bot.File, error)
}

// Config says how to serve.
type Config struct {
	Token Token
	// APIURL is the address of a self-hosted Bot API server, "" for Telegram's own.
	APIURL string
	// Health is the local address for /healthz, /readyz and /metrics, "" for none.
	Health string
	// Webhook is used instead of polling when its URL is set.
	Webhook Webhook
	Limits  Limits
	// Commands are listed to people with their descriptions.
	Commands []bot.CommandInfo
	Log      *slog.Logger
	Now      func() time.Time
}

// silence takes the library's own log away, once for the program: it is global,
// and it would print addresses with the token in them.
var silence = sync.OnceFunc(func() { _ = tgbotapi.SetLogger(silent{}) })

// shutdownTime is how long a stop may take to send what is on its way.
const shutdownTime = 8 * time.Second

// service is one running bot.
type service struct {
	ctx    context.Context
	config Config
	desk   Desk
	api    *tgbotapi.BotAPI
	client *client
	self   self
	sender *sender
	settle *settler
	admins admins
	meters *meters
	log    *slog.Logger
	now    func() time.Time
}

// Run serves until ctx ends, then finishes what it holds.
func Run(ctx context.Context, c Config, desk Desk) error {
	silence()
	s := &service{config: c, desk: desk, log: c.Log, now: c.Now}
	// Calls outlive ctx: a stop lets them finish within shutdownTime.
	calls, cut := context.WithCancel(context.WithoutCancel(ctx))
	defer cut()
	s.ctx = calls
	s.meters = newMeters(func() int { return s.sender.depth() })
	s.settle = newSettler(desk, s.log)
	s.sender = newSender(calls, c.Limits, s.send, s.settled)
	s.client = &client{ctx: calls, http: &http.Client{}, token: c.Token, counts: s.meters}
	if err := s.connect(ctx); err != nil {
		return err
	}
	stopHealth, err := s.serveHealth()
	if err != nil {
		return err
	}
	defer stopHealth()
	return s.serve(ctx, cut)
}

// Check asks the server who the bot is, once, and returns its name.
func Check(ctx context.Context, c Config) (name string, err error) {
	silence()
	cl := &client{ctx: ctx, http: &http.Client{}, token: c.Token, counts: newMeters(func() int { return 0 })}
	api, err := tgbotapi.NewBotAPIWithClient(c.Token.secret, endpointOf(c.APIURL), cl)
	if err != nil {
		return "", fmt.Errorf("the Bot API: %w", cl.clean(err))
	}
	return api.Self.UserName, nil
}

// serve sends what waits from before, then takes updates until ctx ends.
func (s *service) serve(ctx context.Context, cut context.CancelFunc) error {
	waiting, err := s.desk.Pending(ctx)
	if err != nil {
		return err
	}
	s.sender.enqueue(waiting)
	s.publishCommands()
	s.log.Info("serving", "bot", "@"+s.self.name, "waiting_replies", len(waiting))
	if s.config.Webhook.URL != "" {
		err = s.listen(ctx)
	} else {
		err = s.poll(s.pollContext(ctx))
	}
	s.sender.drain(shutdownTime)
	cut()
	s.settle.stop()
	return err
}

// pollContext lets a stop break off the poll that is waiting, which is the only
// call that may take long.
func (s *service) pollContext(ctx context.Context) context.Context {
	s.client.pollCtx = ctx
	return ctx
}

// connect asks who the bot is, again and again while there is no network.
func (s *service) connect(ctx context.Context) error {
	backoff := firstBackoff
	for {
		api, err := tgbotapi.NewBotAPIWithClient(s.config.Token.secret, endpointOf(s.config.APIURL), s.client)
		if err == nil {
			s.api, s.self = api, self{api.Self.ID, api.Self.UserName}
			s.meters.lastPoll.Store(s.now().UnixNano())
			return nil
		}
		if isUnauthorised(err) {
			return errors.New("the server refuses the token: check DEEPWARD_TOKEN, or make a new token")
		}
		s.log.Warn("the Bot API is out of reach; trying again", "error", s.client.clean(err), "again_in", backoff)
		if !sleep(ctx, backoff) {
			return ctx.Err()
		}
		backoff = min(2*backoff, longestBackoff)
	}
}

// settled hands the result of a sending to the store.
func (s *service) settled(out bot.Sending, r result) {
	switch {
	case r.movedTo != 0:
		s.log.Info("a group has a new number")
		move := bot.Message{Chat: bot.Chat{ID: out.Reply.Chat, Group: true}, Event: bot.EventMoved, MovedTo: r.movedTo, ReceivedAt: s.now(), SentAt: s.now()}
		if _, err := s.desk.Take(s.ctx, []bot.Message{move}); err != nil {
			s.log.Error("the group's new number could not be kept", "error", err)
		}
		return
	case r.again > 0:
		s.log.Warn("reply put off", "reply", out.ID, "error", s.client.clean(r.err), "again_in", r.again)
	case r.err != nil:
		s.log.Warn("reply given up", "reply", out.ID, "error", s.client.clean(r.err))
	}
	done := bot.Settled{Sending: out, Message: r.message}
	if r.again > 0 {
		done.RetryAt = s.now().Add(r.again)
	}
	s.settle.add(done)
}

// publishCommands tells Telegram what to list; that it fails harms nothing.
func (s *service) publishCommands() {
	for _, list := range commandLists(s.config.Commands) {
		if _, err := s.api.Request(list); err != nil {
			s.log.Info("the command list could not be set", "error", s.client.clean(err))
			return
		}
	}
}

// commandLists are the lists for private chats, groups and admins in English
// and the other languages.
func commandLists(all []bot.CommandInfo) []tgbotapi.SetMyCommandsConfig {
	var lists []tgbotapi.SetMyCommandsConfig
	for _, language := range []string{"", "es", "pt", "fr"} {
		var private, group, admins []tgbotapi.BotCommand
		for _, c := range all {
			command := tgbotapi.BotCommand{Command: c.Name, Description: bot.Describe(c, language)}
			if c.Private {
				private = append(private, command)
			}
			if c.Group {
				group = append(group, command)
			}
			if c.Group || c.Admins {
				admins = append(admins, command)
			}
		}
		lists = append(lists,
			tgbotapi.NewSetMyCommandsWithScopeAndLanguage(tgbotapi.NewBotCommandScopeAllPrivateChats(), language, private...),
			tgbotapi.NewSetMyCommandsWithScopeAndLanguage(tgbotapi.NewBotCommandScopeAllGroupChats(), language, group...),
			tgbotapi.NewSetMyCommandsWithScopeAndLanguage(tgbotapi.NewBotCommandScopeAllChatAdministrators(), language, admins...),
		)
	}
	return lists
}

// serveHealth opens the local address for an operator's eyes.
func (s *service) serveHealth() (stop func(), err error) {
	if s.config.Health == "" {
		return func() {}, nil
	}
	l, err := net.Listen("tcp", s.config.Health)
	if err != nil {
		return nil, fmt.Errorf("the health address cannot be opened, choose another with --health: %w", err)
	}
	server := &http.Server{Handler: s.meters.health(s.now, s.config.Webhook.URL == ""), ReadHeaderTimeout: 5 * time.Second}
	go server.Serve(l)
	return func() { server.Close() }, nil
}
