package telegram

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"sync"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/bot"
)

// adminsFor is how long a chat's list of admins is believed.
const adminsFor = 5 * time.Minute

// admins keeps the admin lists of chats for a few minutes.
type admins struct {
	mu    sync.Mutex
	chats map[int64]adminList
}

type adminList struct {
	people []int64
	asked  time.Time
}

// fillRole says whether the sender administers the group, by the group's own
// list. It is looked up only for messages that speak to the bot.
func (s *service) fillRole(_ context.Context, m *bot.Message) {
	if m.Event != "" {
		s.admins.forget(m.Chat.ID)
		return
	}
	if !m.Chat.Group || !m.Addressed || m.Sender.Admin {
		return
	}
	people, err := s.adminsOf(m.Chat.ID)
	if err != nil {
		s.log.Warn("the admin list is out of reach; nobody counts as admin for now", "error", err)
		return
	}
	m.Sender.Admin = slices.Contains(people, m.Sender.ID)
}

func (s *service) adminsOf(chat int64) ([]int64, error) {
	if people, ok := s.admins.get(chat, s.now()); ok {
		return people, nil
	}
	resp, err := s.api.MakeRequest("getChatAdministrators", tgbotapi.Params{"chat_id": fmt.Sprint(chat)})
	if err != nil {
		return nil, err
	}
	var members []tgbotapi.ChatMember
	if err := json.Unmarshal(resp.Result, &members); err != nil {
		return nil, err
	}
	var people []int64
	for _, m := range members {
		if m.User != nil && (m.IsAdministrator() || m.IsCreator()) {
			people = append(people, m.User.ID)
		}
	}
	s.admins.put(chat, people, s.now())
	return people, nil
}

func (a *admins) get(chat int64, now time.Time) ([]int64, bool) {
	a.mu.Lock()
	defer a.mu.Unlock()
	list, ok := a.chats[chat]
	return list.people, ok && now.Sub(list.asked) < adminsFor
}

// adminChats is how many lists are kept at most.
const adminChats = 1000

func (a *admins) put(chat int64, people []int64, now time.Time) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.chats == nil || len(a.chats) >= adminChats {
		a.chats = map[int64]adminList{}
	}
	a.chats[chat] = adminList{people, now}
}

func (a *admins) forget(chat int64) {
	a.mu.Lock()
	defer a.mu.Unlock()
	delete(a.chats, chat)
}
