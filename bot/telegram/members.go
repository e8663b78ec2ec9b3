package telegram

import (
	"context"
	"encoding/json"
	"fmt"
	"sync"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/bot"
	"deepward/store/catch"
)

const (
	// memberFor is how long it is believed that somebody is, or is not, in a group.
	memberFor = time.Minute
	// memberTime is how long the lookups of one batch may take: messages wait for them.
	memberTime = 5 * time.Second
	// memberEntries is how many answers are kept at most.
	memberEntries = 10_000
)

// presence is whether somebody is in a group.
type presence int

const (
	outside presence = iota
	inside
	// presumed: the server answers only admins; they are taken to be in it.
	presumed
)

type membership struct {
	chat   catch.ChatID
	person catch.PersonID
}

// fillMembers looks, for the few messages that ask for what belongs to a group, whether
// their senders are in it. What cannot be learnt is left out: the desk then says so.
func (s *service) fillMembers(ctx context.Context, batch []bot.Message) error {
	clubs, err := s.desk.ClubsToCheck(ctx, batch)
	if err != nil {
		return err
	}
	var asked []membership
	for i, m := range batch {
		for _, chat := range clubs[i] {
			asked = append(asked, membership{chat, m.Sender.ID})
		}
	}
	if len(asked) == 0 {
		return nil
	}
	found := s.lookUp(ctx, asked)
	for i, m := range batch {
		for who, in := range found {
			if who.person != m.Sender.ID {
				continue
			}
			if batch[i].Members == nil {
				batch[i].Members, batch[i].Presumed = map[catch.ChatID]bool{}, map[catch.ChatID]bool{}
			}
			batch[i].Members[who.chat] = in != outside
			batch[i].Presumed[who.chat] = in == presumed
		}
	}
	return nil
}

// lookUp asks about all of them at once; those that were not answered are missing.
func (s *service) lookUp(ctx context.Context, asked []membership) map[membership]presence {
	ctx, cancel := context.WithTimeout(ctx, memberTime)
	defer cancel()
	var lookups sync.WaitGroup
	var mu sync.Mutex
	found := map[membership]presence{}
	started := map[membership]bool{}
	for _, who := range asked {
		if in, ok := s.members.get(who, s.now()); ok {
			mu.Lock()
			found[who] = in
			mu.Unlock()
			continue
		}
		if started[who] {
			continue
		}
		started[who] = true
		lookups.Go(func() {
			in, err := askMember(s.with(ctx), who)
			if err != nil {
				s.log.Warn("it cannot be learnt who is in a group; what needs it is put off", "error", s.client.clean(err))
				return
			}
			s.members.put(who, in, s.now().Add(memberFor), memberEntries)
			mu.Lock()
			defer mu.Unlock()
			found[who] = in
		})
	}
	lookups.Wait()
	return found
}

// askMember asks the server. Somebody who is restricted may be in the group or not.
// The server promises an answer only to a bot that is an admin of the group: where it
// refuses one, the person counts as in it, since they wrote there and no leave was told.
func askMember(api *tgbotapi.BotAPI, who membership) (presence, error) {
	resp, err := api.MakeRequest("getChatMember", tgbotapi.Params{"chat_id": fmt.Sprint(who.chat), "user_id": fmt.Sprint(who.person)})
	switch {
	case says(err, "user not found", "member not found", "PARTICIPANT_ID_INVALID", "USER_NOT_PARTICIPANT"):
		return outside, nil
	case says(err, "CHAT_ADMIN_REQUIRED", "need administrator rights", "member list is inaccessible"), isUnknownMethod(err):
		return presumed, nil
	case err != nil:
		return outside, err
	}
	var m tgbotapi.ChatMember
	if err := json.Unmarshal(resp.Result, &m); err != nil {
		return outside, err
	}
	switch m.Status {
	case "creator", "administrator", "member":
		return inside, nil
	case "restricted":
		if m.IsMember {
			return inside, nil
		}
		return outside, nil
	case "left", "kicked":
		return outside, nil
	default:
		return outside, fmt.Errorf("unknown standing %q", m.Status)
	}
}
