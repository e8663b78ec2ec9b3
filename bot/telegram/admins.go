package telegram

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/bot"
	"deepward/store/catch"
)

const (
	// adminsFor is how long a chat's list of admins is believed.
	adminsFor = 5 * time.Minute
	// adminsMissing is how long a chat without a list is not asked again: nobody
	// counts as admin meanwhile, and messages do not wait for a server in trouble.
	adminsMissing = 15 * time.Second
	// adminsTime is how long the lookup may take: what needs the role waits for it.
	adminsTime = 5 * time.Second
	// adminChats is how many lists are kept at most.
	adminChats = 1000
)

// role says whether the sender of a message administers its group, by the group's own
// list. known is false where it makes a difference and the list is still asked for: the
// message must wait, and no other with it.
func (s *service) role(ctx context.Context, m bot.Message) (admin, known bool) {
	if m.Sender.Admin || !m.Chat.Group || m.Event != "" {
		return m.Sender.Admin, true
	}
	if people, ok := s.admins.get(m.Chat.ID, s.now()); ok {
		return slices.Contains(people, m.Sender.ID), true
	}
	if !s.desk.NeedsRole(m) {
		return false, true
	}
	s.askRoles(ctx, m.Chat.ID)
	return false, false
}

// roleGrace is how long a lookup may take before others go ahead of what waits for it: a
// server in health answers within, and the order stays.
const roleGrace = 250 * time.Millisecond

// roleSoon is role, with patience at the first asking, for a whole batch until a moment.
func (s *service) roleSoon(ctx context.Context, m bot.Message, until time.Time) (admin, known bool) {
	_, running := s.asking.Load(m.Chat.ID)
	admin, known = s.role(ctx, m)
	for !known && !running && time.Now().Before(until) && sleep(ctx, roleStep) {
		admin, known = s.role(ctx, m)
	}
	return admin, known
}

// roleStep is how often it is looked whether the lookup has come back.
const roleStep = 2 * time.Millisecond

// askRoles asks for a list beside what else goes on, once at a time.
func (s *service) askRoles(ctx context.Context, chat catch.ChatID) {
	if _, running := s.asking.LoadOrStore(chat, true); running {
		return
	}
	s.background.Go(func() {
		defer s.asking.Delete(chat)
		s.learnAdmins(ctx, chat)
	})
}

// learnAdmins notes a chat's admins, nobody when they cannot be learnt.
func (s *service) learnAdmins(ctx context.Context, chat catch.ChatID) {
	if _, ok := s.admins.get(chat, s.now()); ok {
		return // another lookup has just ended
	}
	ctx, cancel := context.WithTimeout(ctx, adminsTime)
	defer cancel()
	people, err := askAdmins(s.with(ctx), chat)
	if err != nil {
		s.log.Warn("the admin list is out of reach; nobody counts as admin for now", "error", err)
		s.admins.put(chat, nil, s.now().Add(adminsMissing), adminChats)
		return
	}
	s.admins.put(chat, people, s.now().Add(adminsFor), adminChats)
}

func askAdmins(api *tgbotapi.BotAPI, chat catch.ChatID) ([]catch.PersonID, error) {
	resp, err := api.MakeRequest("getChatAdministrators", tgbotapi.Params{"chat_id": fmt.Sprint(chat)})
	if err != nil {
		return nil, err
	}
	var members []tgbotapi.ChatMember
	if err := json.Unmarshal(resp.Result, &members); err != nil {
		return nil, err
	}
	var people []catch.PersonID
	for _, m := range members {
		// The library does not count the creator among the administrators.
		if m.User != nil && (m.IsAdministrator() || m.IsCreator()) {
			people = append(people, catch.PersonID(m.User.ID))
		}
	}
	return people, nil
}
