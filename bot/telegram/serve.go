// Package telegram carries the conversation over Telegram: messages in by long
// poll or webhook, replies out. It knows nothing about fish.
//
// What is promised: an update that the desk has committed is never lost, one
// that comes twice is the desk's to recognise, and a reply that could not be
// sent is sent later, as package delivery says. Telegram has no means to send
// exactly once: where an answer of the server is lost, a reply may go twice.
package telegram

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"sync"
	"sync/atomic"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/bot"
	"deepward/bot/delivery"
	"deepward/store/catch"
)

// Desk takes messages in and gives replies out; *bot.Desk is one.
type Desk interface {
	// ClubsToCheck names, for each message, the groups that its sender must be in.
	ClubsToCheck(ctx context.Context, batch []bot.Message) ([][]catch.ChatID, error)
	// NeedsRole is true for a message that matters only if its sender administers the group.
	NeedsRole(m bot.Message) bool
	// Take commits messages that arrived together and returns their replies. Replies
	// that come with an error are of those messages that were committed before it.
	Take(ctx context.Context, batch []bot.Message) ([]bot.Sending, error)
	// Pending returns every reply that still waits, in order within each chat.
	Pending(ctx context.Context) ([]bot.Sending, error)
	// Settle notes what became of sendings.
	Settle(ctx context.Context, list []bot.Settled) error
	// Calls are the calls of the last minute to groups.
	Calls(ctx context.Context, now time.Time) (map[catch.ChatID][]bot.Call, error)
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
	// Gauges are further figures for /metrics. Unready says why, besides what the service
	// sees itself, it cannot do its work now, "" if it can; nil for never. It must answer
	// at once.
	Gauges  []Gauge
	Unready func() string
	// Webhook is used instead of polling when its URL is set.
	Webhook Webhook
	Limits  delivery.Limits
	// Commands are listed to people with their descriptions.
	Commands []bot.CommandInfo
	// SetAside is given updates that cannot be read or that break the desk, as they
	// came, with the person if it is known, else 0; nil to only log their numbers. They
	// hold what people wrote. What it returns an error for is not confirmed.
	SetAside func(person catch.PersonID, update catch.UpdateID, raw []byte) error
	// Again are updates of before, as they came, that are handed to the desk first.
	Again []json.RawMessage
	// Supervisor is told how the service does, every AliveEvery that it is alive; nil
	// for nobody, 0 for never.
	Supervisor Supervisor
	AliveEvery time.Duration
	// Log is where the service logs: numbers, never words or the token. nil for nowhere.
	Log *slog.Logger
	// Now is the clock, nil for the machine's.
	Now func() time.Time
	// Rand gives numbers from 0 to 1 for waits that differ by chance, nil for the
	// runtime's.
	Rand func() float64
	// Transport carries the calls, nil for the network.
	Transport http.RoundTripper
}

// Validate says in one line what of a configuration could never work: no token,
// an address or a secret of the wrong form.
func (c Config) Validate() error {
	if c.Token.secret == "" {
		return ErrNoToken
	}
	return errors.Join(checkAPIURL(c.APIURL), c.Webhook.check())
}

// ready checks a configuration and fills in what was left out.
func (c Config) ready() (Config, error) {
	c.Log = cmp.Or(c.Log, slog.New(slog.DiscardHandler))
	if c.Now == nil {
		c.Now = time.Now
	}
	if c.Rand == nil {
		c.Rand = rand.Float64
	}
	if c.Supervisor == nil {
		c.Supervisor = nobody{}
	}
	return c, c.Validate()
}

// silence takes the library's own log away, once for the program: it is global,
// and it would print addresses with the token in them.
var silence = sync.OnceFunc(func() { _ = tgbotapi.SetLogger(silent{}) })

// drainTime is how long a stop sends what waits. With confirmTime or webhookTime
// before and two seconds after, a stop takes at most 9 s.
const drainTime = 5 * time.Second

// DefaultLimits are what Telegram states in its FAQ for bots: about 30 messages a second
// in all, one a second in a chat with short bursts, 20 a minute in a group.
var DefaultLimits = delivery.Limits{Second: 30, Burst: 3, GroupMinute: 20}

func newPace(c Config) *pace {
	return &pace{delivery.NewWindow(c.Limits.Second, time.Second), c.Now}
}

// service is one running bot.
type service struct {
	ctx        context.Context // ends when a stop is over, later than the caller's
	cut        context.CancelFunc
	config     Config
	desk       Desk
	api        *tgbotapi.BotAPI
	client     *client
	self       self
	sender     *delivery.Sender
	settler    *delivery.Settler
	admins     known[catch.ChatID, []catch.PersonID] // who administers a group
	members    known[membership, presence]           // who is in a group
	asking     sync.Map                              // groups whose admins are asked for at this moment
	uploaded   known[[sha256.Size]byte, string]      // what the server calls a picture it has
	changed    known[spot, struct{}]                 // keyboards exchanged a moment ago
	old        atomic.Bool                           // the server is of before Bot API 7.0
	vigil      vigil
	meters     *meters
	background sync.WaitGroup
	log        *slog.Logger
	now        func() time.Time
	end        context.CancelCauseFunc // ends the serving
}

// Run serves until ctx ends, then finishes what it holds within 10 s. It returns
// an error only where there is no use in going on: a token that is refused, an
// address that cannot be opened, a store that cannot be read.
func Run(ctx context.Context, c Config, desk Desk) error {
	s, err := newService(ctx, c, desk)
	if err != nil {
		return err
	}
	return s.run(ctx)
}

func newService(ctx context.Context, c Config, desk Desk) (*service, error) {
	c, err := c.ready()
	if err != nil {
		return nil, err
	}
	silence()
	s := &service{config: c, desk: desk, log: c.Log, now: c.Now, end: func(error) {}}
	s.ctx, s.cut = context.WithCancel(context.WithoutCancel(ctx))
	p := newPace(c)
	s.sender = &delivery.Sender{Deliver: s.send, Settle: s.settle, Backoff: s.backoff, Now: c.Now, Ctx: s.ctx}
	s.sender.Start(c.Limits, p.window)
	s.meters = newMeters(c.Now, s.sender.Backlog, c.Gauges)
	s.client = newClient(s.ctx, c, s.meters, p)
	return s, nil
}

func (s *service) run(ctx context.Context) error {
	defer s.background.Wait()
	defer s.cut()
	stopHealth, err := s.serveHealth()
	if err != nil {
		return err
	}
	defer stopHealth()
	s.config.Supervisor.Ready()
	s.background.Go(func() { s.report(s.ctx) })
	defer s.client.http.CloseIdleConnections()
	if err := s.connect(ctx); err != nil || ctx.Err() != nil {
		return err
	}
	return s.serve(ctx)
}

// connect asks who the bot is, again and again while there is no network.
func (s *service) connect(ctx context.Context) error {
	for tries := 0; ; tries++ {
		done := s.vigil.begin("asking who the bot is", callTimeout+stuckSlack)
		api, err := tgbotapi.NewBotAPIWithClient(s.config.Token.secret, endpointOf(s.config.APIURL), s.client.during(ctx))
		done()
		switch {
		case err == nil:
			api.Client = s.client
			s.api, s.self = api, self{api.Self.ID, api.Self.UserName}
			return nil
		case ctx.Err() != nil:
			return nil
		case isUnauthorised(err):
			return errRefused
		}
		wait := s.waitToPoll(err, tries)
		s.log.Warn("the Bot API is out of reach; trying again", "error", s.client.clean(err), "again_in", wait)
		sleep(ctx, wait)
	}
}

// with is the library's object for calls that end with ctx.
func (s *service) with(ctx context.Context) *tgbotapi.BotAPI {
	api := *s.api
	api.Client = s.client.during(ctx)
	return &api
}

// serve sends what waits from before, and takes updates until ctx ends.
func (s *service) serve(ctx context.Context) error {
	waiting, err := s.desk.Pending(ctx)
	if err != nil {
		return err
	}
	calls, err := s.desk.Calls(ctx, s.now())
	if err != nil {
		return err
	}
	s.sender.Before(withUncertain(calls, waiting, s.now()))
	s.settler = delivery.NewSettler(s.note, s.log, s.backoff)
	// What goes on beside ends with the serving, also when an error ends it.
	ctx, s.end = context.WithCancelCause(ctx)
	s.sender.Enqueue(waiting)
	s.background.Go(func() { s.publishCommands(ctx) })
	s.log.Info("serving", "bot", "@"+s.self.name, "waiting_replies", len(waiting), "reads_all_of_groups", s.api.Self.CanReadAllGroupMessages)
	if len(s.config.Again) > 0 {
		if err := s.takeWaiting(ctx, s.config.Again); err != nil {
			s.log.Error("what was set aside could not be handled this time either; it is kept", "error", err)
		}
	}
	if s.config.Webhook.URL != "" {
		err = s.listen(ctx)
	} else {
		s.background.Go(func() { s.watch(ctx) })
		err = s.poll(ctx)
	}
	err = cmp.Or(err, whyGivenUp(ctx))
	s.end(nil)
	s.config.Supervisor.Stopping()
	s.sender.Drain(drainTime, s.cut)
	s.settler.Stop()
	if n, _ := s.sender.Backlog(); n > 0 {
		s.log.Info("stopped; the replies that wait are sent after the next start", "waiting_replies", n)
	}
	return err
}

// uncertain is how many of a group's waiting replies may have reached the server just
// before a kill, without a note of it.
const uncertain = 5

// withUncertain counts the fresh replies that wait for groups as sent, a few of each.
func withUncertain(calls map[catch.ChatID][]bot.Call, waiting []bot.Sending, now time.Time) map[catch.ChatID][]bot.Call {
	added := map[catch.ChatID]int{}
	for _, w := range waiting {
		chat := w.Reply.Chat
		if w.Reply.Group && w.Tries == 0 && now.Sub(w.QueuedAt) < time.Minute && added[chat] < uncertain {
			added[chat]++
			calls[chat] = append(calls[chat], bot.Call{At: now})
		}
	}
	return calls
}

// fatal is an error met beside the serving that leaves no use in going on.
type fatal struct{ error }

// giveUp ends the serving with an error.
func (s *service) giveUp(err error) { s.end(fatal{err}) }

// whyGivenUp is that error, nil when the serving was only stopped.
func whyGivenUp(ctx context.Context) error {
	var f fatal
	if errors.As(context.Cause(ctx), &f) {
		return f.error
	}
	return nil
}

// note notes what became of replies.
func (s *service) note(list []bot.Settled) error {
	defer s.vigil.begin("noting deliveries", takeLimit)()
	return guard(func() error { return s.desk.Settle(context.Background(), list) })
}

// settle notes what became of one try.
func (s *service) settle(j *delivery.Job, r *delivery.Result) {
	s.meters.sent(r.Verdict)
	if isRevoked(r.Err) {
		s.giveUp(errRefused)
	}
	switch {
	case r.Verdict == moved:
		s.follow(j, r)
		return
	case r.Again > 0:
		s.log.Warn("reply put off", "reply", j.ID, "error", s.client.clean(r.Err), "again_in", r.Again)
	case r.More:
		return
	case r.Verdict == gone:
		s.log.Warn("reply given up: the chat is closed to the bot", "reply", j.ID, "error", s.client.clean(r.Err))
		s.tell(bot.Message{Chat: bot.Chat{ID: j.Reply.Chat, Group: j.Reply.Group}, Event: bot.EventRemoved})
	case r.Dropped && isFile(j):
		j.Parts, j.Begun = s.noFile(j.Parts[0], "file.not_sent", r.Err), true
		r.Dropped, r.More = false, true
		return
	case r.Dropped:
		s.log.Error("reply given up: the server kept refusing it", "reply", j.ID, "tries", j.Tries+1, "error", s.client.clean(r.Err))
	case r.Verdict == never:
		s.log.Error("reply given up", "reply", j.ID, "error", s.client.clean(r.Err))
	}
	done := bot.Settled{Sending: j.Sending, Message: r.Message, Calls: j.Calls}
	j.Calls = nil
	if r.Again > 0 {
		done.RetryAt, done.Stated = s.now().Add(r.Again), r.Wait > 0
	}
	s.settler.Add(done)
}

// isFile is true while the file of a reply is what is to be sent.
func isFile(j *delivery.Job) bool { return len(j.Parts) > 0 && j.Parts[0].Attach != nil }

// follow notes that a group has another number. Until that is kept the reply
// waits: it could not be found under the new one.
func (s *service) follow(j *delivery.Job, r *delivery.Result) {
	from := j.Reply.Chat
	s.log.Info("a group has a new number", "reply", j.ID)
	if err := s.tell(bot.Message{Chat: bot.Chat{ID: from, Group: true}, Event: bot.EventMoved, MovedTo: r.MovedTo}); err != nil {
		j.Moves--
		r.Again = s.backoff(j.Tries)
		return
	}
	s.sender.Moved(from, r.MovedTo)
}

// tell gives the desk an event that the server told in its answer to a call.
func (s *service) tell(m bot.Message) error {
	m.ReceivedAt = s.now()
	m.SentAt = m.ReceivedAt
	sendings, err := s.handOver(s.ctx, []bot.Message{m})
	if err != nil {
		s.log.Error("a change of a chat could not be kept", "event", m.Event, "error", err)
		return err
	}
	s.sender.Enqueue(sendings)
	return nil
}
