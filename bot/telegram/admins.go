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
	"deepward/store/catch"
)

const (
	// adminsFor is how long a chat's list of admins is believed.
	adminsFor = 5 * time.Minute
	// adminsMissing is how long a chat without a list is not asked again: nobody
	// counts as admin meanwhile, and messages do not wait for a server in trouble.
	adminsMissing = 15 * time.Second
	// adminsTime is how long the lookup may take: messages wait for it.
	adminsTime = 5 * time.Second
	// adminChats is how many lists are kept at most.
	adminChats = 1000
)

// fillRoles says who administers the group a message was written in, by the
// group's own list. It is looked up only for messages that speak to the bot, for
// several groups at once.
func (s *service) fillRoles(ctx context.Context, batch []bot.Message) {
	var chats []catch.ChatID
	for _, m := range batch {
		if needsRole(m) && !slices.Contains(chats, m.Chat.ID) {
			chats = append(chats, m.Chat.ID)
		}
	}
	lists := make([][]catch.PersonID, len(chats))
	var lookups sync.WaitGroup
	for i, chat := range chats {
		lookups.Go(func() { lists[i] = s.adminsOf(ctx, chat) })
	}
	lookups.Wait()
	for i, m := range batch {
		if needsRole(m) {
			batch[i].Sender.Admin = slices.Contains(lists[slices.Index(chats, m.Chat.ID)], m.Sender.ID)
		}
	}
}

// needsRole is false where the role is known already or makes no difference.
func needsRole(m bot.Message) bool {
	return m.Chat.Group && m.Addressed && !m.Sender.Admin && m.Event == ""
}

// adminsOf returns a chat's admins, nobody when they cannot be learnt.
func (s *service) adminsOf(ctx context.Context, chat catch.ChatID) []catch.PersonID {
	if people, ok := s.admins.get(chat, s.now()); ok {
		return people
	}
	ctx, cancel := context.WithTimeout(ctx, adminsTime)
	defer cancel()
	people, err := askAdmins(s.with(ctx), chat)
	if err != nil {
		s.log.Warn("the admin list is out of reach; nobody counts as admin for now", "error", err)
		s.admins.put(chat, nil, s.now().Add(adminsMissing), adminChats)
		return nil
	}
	s.admins.put(chat, people, s.now().Add(adminsFor), adminChats)
	return people
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
