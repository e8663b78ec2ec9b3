package telegram

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"runtime"
	"runtime/debug"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/bot"
	"deepward/store/catch"
)

// take decodes each update by itself and hands what concerns the bot to the desk,
// all together. An update that cannot be read is set aside: it must not keep the
// others waiting for ever; only where it cannot be kept either does it. nil means that
// the updates may be confirmed.
// An update whose sender's role is not known yet is held, with no harm to the others:
// done notes the numbers of those that need not come again.
func (s *service) take(ctx context.Context, raws []json.RawMessage, done map[int]bool) (held bool, err error) {
	var batch []bot.Message
	var numbers []int
	patience := time.Now().Add(roleGrace)
	for _, raw := range raws {
		number := updateID(raw)
		if number != 0 && done[number] {
			continue
		}
		d, outcome, err := s.read(raw)
		if err != nil {
			return false, err
		}
		if d.ok {
			admin, known := s.roleSoon(ctx, d.message, patience)
			if d.message.Sender.Admin = admin; !known {
				held = true
				continue
			}
			batch = append(batch, d.message)
		}
		if d.unread != "" {
			s.log.Warn("update read in part", "update", d.message.Update, "unread", d.unread)
		}
		s.meters.update(d.kind, outcome)
		numbers = append(numbers, number)
	}
	if err := s.takeBatch(ctx, batch); err != nil {
		return held, err
	}
	for _, n := range numbers {
		done[n] = true
	}
	return held, nil
}

// takeWaiting takes updates and waits for those that are held.
func (s *service) takeWaiting(ctx context.Context, raws []json.RawMessage) error {
	done := map[int]bool{}
	for {
		if held, err := s.take(ctx, raws, done); err != nil || !held {
			return err
		}
		if !sleep(ctx, heldPause) {
			return ctx.Err()
		}
	}
}

// heldPause is how often it is looked whether a role is known.
const heldPause = 50 * time.Millisecond

// takeBatch hands messages to the desk, all together.
func (s *service) takeBatch(ctx context.Context, batch []bot.Message) error {
	if len(batch) == 0 {
		return nil
	}
	if err := s.fillMembers(ctx, batch); err != nil {
		return err
	}
	if ctx.Err() != nil { // stopped: who is in a group may not be known, so nothing is taken
		return ctx.Err()
	}
	started := time.Now()
	sendings, err := s.handOver(ctx, batch)
	s.meters.handled(time.Since(started), err)
	if err != nil {
		s.sender.Enqueue(sendings) // of what was kept: when it comes again it is known
		return err
	}
	for _, m := range batch {
		if m.Event == bot.EventMoved {
			s.sender.Moved(m.Chat.ID, m.MovedTo)
		}
	}
	s.sender.Enqueue(sendings)
	return nil
}

// read turns one update into a message, if there is one for the desk, and says what became
// of it; one that is held is read again. The error is of an update that can be neither
// read nor kept.
func (s *service) read(raw json.RawMessage) (d decoded, outcome string, err error) {
	err = guard(func() (err error) {
		d, err = s.self.decode(raw, s.now())
		return err
	})
	switch {
	case err != nil:
		s.log.Warn("update set aside: it cannot be read", "update", updateID(raw), "error", err)
		return decoded{kind: "unreadable"}, "set aside", s.setAside(personOf(raw), catch.UpdateID(updateID(raw)), raw)
	case d.idlePress != "":
		s.acknowledge(d.idlePress)
	}
	if d.ok && d.message.Press != "" && s.justChanged(d.message) {
		s.acknowledge(d.message.PressID)
		d.ok = false
		return d, "too soon", nil
	}
	if d.standingsOf != 0 {
		s.admins.forget(func(chat catch.ChatID) bool { return chat == d.standingsOf })
		s.members.forget(func(who membership) bool { return who.chat == d.standingsOf })
	}
	d.message.Raw = raw
	return d, outcomeOf(d.ok), nil
}

const (
	// settling is how long after a keyboard has changed taps on it are not meant: the
	// second of a double tap falls on other buttons than the first. No person reads and
	// answers sooner.
	settling = 400 * time.Millisecond
	// keyboards is how many that changed are remembered at most.
	keyboards = 1000
)

// spot is a message of a chat.
type spot struct {
	chat    catch.ChatID
	message int
}

// justChanged is true for a tap that came as the keyboard under it was just exchanged.
func (s *service) justChanged(m bot.Message) bool {
	_, yes := s.changed.get(spot{m.Chat.ID, m.ID}, s.now())
	return yes
}

func outcomeOf(ok bool) string {
	if ok {
		return "taken"
	}
	return "ignored"
}

// setAside has an update kept that is passed over.
func (s *service) setAside(person catch.PersonID, update catch.UpdateID, raw []byte) error {
	if s.config.SetAside == nil || raw == nil {
		return nil
	}
	return s.config.SetAside(person, update, raw)
}

// acknowledge stops the waiting sign of a button whose tap concerns nobody.
func (s *service) acknowledge(press string) {
	s.background.Go(func() {
		if _, err := s.api.MakeRequest("answerCallbackQuery", tgbotapi.Params{"callback_query_id": press}); err != nil {
			s.log.Debug("an idle tap was not acknowledged", "error", err)
		}
	})
}

// handOver gives a batch to the desk. The commit is not broken off by a stop. A
// batch that makes the desk panic is given again one by one, so that only the
// message at fault goes without an answer. Sendings that come with an error are
// of the messages that were kept before it.
func (s *service) handOver(ctx context.Context, batch []bot.Message) (sendings []bot.Sending, err error) {
	ctx = context.WithoutCancel(ctx)
	defer s.vigil.begin("taking messages", takeLimit)()
	take := func(batch []bot.Message) ([]bot.Sending, error) {
		var list []bot.Sending
		err := guard(func() (err error) {
			list, err = s.desk.Take(ctx, batch)
			return err
		})
		return list, err
	}
	if sendings, err = take(batch); !errors.Is(err, errPanic) {
		return sendings, err
	}
	sendings = nil
	for _, m := range batch {
		list, err := take([]bot.Message{m})
		if errors.Is(err, errPanic) {
			s.log.Error("message set aside: it broke the conversation", "update", m.Update, "error", err)
			if err := s.setAside(m.Sender.ID, m.Update, m.Raw); err != nil {
				return sendings, err
			}
			continue
		}
		sendings = append(sendings, list...)
		if err != nil {
			return sendings, err
		}
	}
	return sendings, nil
}

// errPanic marks a panic that was caught.
var errPanic = errors.New("panic")

// guard runs f and turns a panic into an error. Only a panic of the Go runtime is
// quoted: any other may hold what somebody wrote.
func guard(f func() error) (err error) {
	defer func() {
		switch r := recover().(type) {
		case nil:
		case runtime.Error:
			err = fmt.Errorf("%w: %w\n%s", errPanic, r, debug.Stack())
		default:
			err = fmt.Errorf("%w of type %T\n%s", errPanic, r, debug.Stack())
		}
	}()
	return f()
}
