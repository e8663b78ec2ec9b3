package standin

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"
)

type update struct {
	id  int
	raw json.RawMessage
}

// NextUpdate makes the numbers of updates go on from n.
func (s *Server) NextUpdate(n int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.next = n
}

// Push adds one raw update; "update_id" is put in where %d stands.
func (s *Server) Push(raw string) int {
	s.mu.Lock()
	defer s.mu.Unlock()
	id := s.next
	s.next++
	s.add(raw, id)
	return id
}

// Again puts an update in once more under its own number.
func (s *Server) Again(raw string, id int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.add(raw, id)
}

func (s *Server) add(raw string, id int) {
	s.updates = append(s.updates, update{id, json.RawMessage(strings.Replace(raw, "%d", strconv.Itoa(id), 1))})
	s.cond.Broadcast()
}

// Shuffle turns the order round of those updates that the next poll brings. Later
// ones are not brought first: an offset confirms all that is lower, and no bot
// could know of what it has not seen.
func (s *Server) Shuffle() {
	s.mu.Lock()
	defer s.mu.Unlock()
	slices.Reverse(s.updates[:min(len(s.updates), mostPolled)])
}

// Waiting is how many updates are not yet confirmed.
func (s *Server) Waiting() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return len(s.updates)
}

// Say lets a person write a text, in private when chat is the person's own
// number, and returns the number of the message.
func (s *Server) Say(chat, person int64, text string) int {
	s.mu.Lock()
	s.message++
	n := s.message
	s.mu.Unlock()
	if chat == person {
		s.Push(Private(person, n, text))
	} else {
		s.Push(Group(chat, person, n, text))
	}
	return n
}

// Tap lets a person tap a button under a message.
func (s *Server) Tap(chat, person int64, message int, data string) {
	s.mu.Lock()
	markup := s.markups[place{chat, message}]
	s.mu.Unlock()
	raw := Press(chat, person, message, data)
	if markup != "" {
		raw = strings.Replace(raw, `"date":1,`, `"date":1,"reply_markup":`+markup+`,`, 1)
	}
	s.Push(raw)
}

// Move turns a group into a supergroup: service messages in both, and errors for
// whoever writes to the old one.
func (s *Server) Move(from, to int64) {
	s.mu.Lock()
	s.moved[from] = to
	s.mu.Unlock()
	s.Push(fmt.Sprintf(`{"update_id":%%d,"message":{"message_id":9001,"date":1,"chat":{"id":%d,"type":"group","title":"Club"},"from":{"id":1,"first_name":"A"},"migrate_to_chat_id":%d}}`, from, to))
	s.Push(fmt.Sprintf(`{"update_id":%%d,"message":{"message_id":1,"date":1,"chat":{"id":%d,"type":"supergroup","title":"Club"},"from":{"id":1,"first_name":"A"},"migrate_from_chat_id":%d}}`, to, from))
}

// MovedSilently is Move without the service messages.
func (s *Server) MovedSilently(from, to int64) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.moved[from] = to
}

// Private is the raw update of a text that a person writes to the bot.
func Private(person int64, message int, text string) string {
	body, _ := json.Marshal(text)
	return fmt.Sprintf(`{"update_id":%%d,"message":{"message_id":%d,"date":%d,"chat":{"id":%d,"type":"private"},"from":{"id":%d,"is_bot":false,"first_name":"P%d"},"text":%s}}`,
		message, time.Now().Unix(), person, person, person, body)
}

// Group is the raw update of a text in a group; a command is marked as one.
func Group(chat, person int64, message int, text string) string {
	body, _ := json.Marshal(text)
	entities := ""
	if strings.HasPrefix(text, "/") {
		word, _, _ := strings.Cut(text, " ")
		entities = fmt.Sprintf(`,"entities":[{"type":"bot_command","offset":0,"length":%d}]`, len(word))
	}
	return fmt.Sprintf(`{"update_id":%%d,"message":{"message_id":%d,"date":%d,"chat":{"id":%d,"type":"supergroup","title":"Club"},"from":{"id":%d,"is_bot":false,"first_name":"P%d"},"text":%s%s}}`,
		message, time.Now().Unix(), chat, person, person, body, entities)
}

// Press is the raw update of a tap on a button.
func Press(chat, person int64, message int, data string) string {
	body, _ := json.Marshal(data)
	kind := "private"
	if chat < 0 {
		kind = "supergroup"
	}
	return fmt.Sprintf(`{"update_id":%%d,"callback_query":{"id":"cb%d","from":{"id":%d,"is_bot":false,"first_name":"P%d"},"message":{"message_id":%d,"date":1,"chat":{"id":%d,"type":"%s"}},"data":%s}}`,
		message, person, person, message, chat, kind, body)
}

// mostPolled is how many updates one poll brings at most.
const mostPolled = 100

// getUpdates forgets what the offset confirms, then waits for more. A second
// poll ends the first with a conflict.
func (s *Server) getUpdates(w http.ResponseWriter, r *http.Request, params map[string]string) {
	wait := min(time.Duration(number(params["timeout"]))*time.Second, 50*time.Second)
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.hook != nil {
		Refuse(w, http.StatusConflict, "Conflict: can't use getUpdates method while webhook is active; use deleteWebhook to delete the webhook first", nil)
		return
	}
	s.polls++
	mine := s.polls
	s.cond.Broadcast()
	s.confirm(int(number(params["offset"])))
	if !s.await(r, wait, mine) {
		Refuse(w, http.StatusConflict, "Conflict: terminated by other getUpdates request; make sure that only one bot instance is running", nil)
		return
	}
	limit := int(number(params["limit"]))
	if limit < 1 || limit > mostPolled {
		limit = mostPolled
	}
	batch := []json.RawMessage{}
	for _, u := range s.updates[:min(len(s.updates), limit)] {
		batch = append(batch, u.raw)
	}
	reply(w, batch)
}

// confirm forgets what stands before an offset; one that lies beyond the queue
// confirms nothing, as on the real server. The lock is held.
func (s *Server) confirm(offset int) {
	if offset > 0 && offset <= s.next {
		s.updates = slices.DeleteFunc(s.updates, func(u update) bool { return u.id < offset })
	}
}

// await waits for updates; false when another poll has begun. The lock is held.
func (s *Server) await(r *http.Request, wait time.Duration, mine int) bool {
	ctx, cancel := context.WithTimeout(r.Context(), wait)
	defer cancel()
	stop := context.AfterFunc(ctx, func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		s.cond.Broadcast()
	})
	defer stop()
	for len(s.updates) == 0 && ctx.Err() == nil && !s.stopped {
		s.cond.Wait()
		if s.polls != mine {
			return false
		}
	}
	return true
}
