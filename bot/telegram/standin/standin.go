// Package standin plays a Bot API server for tests, written from Telegram's
// public documentation of the Bot API: updates are kept until they are
// confirmed, polls wait, and faults can be put in.
package standin

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

// Token is the token that the stand-in takes.
const Token = "123456:stand-in-token-for-tests"

// Name and ID are who the bot is here.
const (
	Name = "deepward_test_bot"
	ID   = 42
)

// Call is one request that changed something a person can see.
type Call struct {
	Method string
	Chat   int64
	Text   string
	// Message is the number that the message got or has.
	Message int
	Params  map[string]string
}

// Fault answers a call in place of the server; it returns false to let the call
// through.
type Fault func(w http.ResponseWriter, method string, params map[string]string) bool

// Server is one stand-in.
type Server struct {
	*httptest.Server
	mu      sync.Mutex
	cond    *sync.Cond
	updates []update
	next    int
	message int
	calls   []Call
	fault   Fault
	polls   int
	admins  map[int64][]int64
	stopped bool
}

type update struct {
	id  int
	raw json.RawMessage
}

// New starts a stand-in on the loopback address.
func New() *Server {
	s := &Server{next: 1, message: 1000, admins: map[int64][]int64{}}
	s.cond = sync.NewCond(&s.mu)
	s.Server = httptest.NewServer(http.HandlerFunc(s.serve))
	return s
}

// Close ends waiting polls and the server.
func (s *Server) Close() {
	s.mu.Lock()
	s.stopped = true
	s.cond.Broadcast()
	s.mu.Unlock()
	s.Server.Close()
}

// SetFault puts a fault in; nil takes it out.
func (s *Server) SetFault(f Fault) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.fault = f
}

// SetAdmins says who administers a chat.
func (s *Server) SetAdmins(chat int64, people ...int64) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.admins[chat] = people
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
	s.updates = append(s.updates, update{id, json.RawMessage(strings.Replace(raw, "%d", strconv.Itoa(id), 1))})
	s.cond.Broadcast()
	return id
}

// Again puts an update in once more under its own number.
func (s *Server) Again(raw string, id int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.updates = append(s.updates, update{id, json.RawMessage(strings.Replace(raw, "%d", strconv.Itoa(id), 1))})
	s.cond.Broadcast()
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

// Calls are the visible calls so far.
func (s *Server) Calls() []Call {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.calls)
}

// Waiting is how many updates are not yet confirmed.
func (s *Server) Waiting() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return len(s.updates)
}

// Await waits until n visible calls have come, and returns them.
func (s *Server) Await(n int, limit time.Duration) []Call {
	deadline := time.Now().Add(limit)
	for time.Now().Before(deadline) {
		if calls := s.Calls(); len(calls) >= n {
			return calls
		}
		time.Sleep(2 * time.Millisecond)
	}
	return s.Calls()
}

func (s *Server) serve(w http.ResponseWriter, r *http.Request) {
	// The body is read before anything waits: a handler that does not would never
	// see the client go away.
	_ = r.ParseMultipartForm(64 << 20)
	token, method, _ := strings.Cut(strings.TrimPrefix(r.URL.Path, "/bot"), "/")
	if token != Token {
		refuse(w, http.StatusUnauthorized, "Unauthorized", nil)
		return
	}
	params := map[string]string{}
	for k := range r.Form {
		params[k] = r.Form.Get(k)
	}
	s.mu.Lock()
	fault := s.fault
	s.mu.Unlock()
	if fault != nil && fault(w, method, params) {
		return
	}
	s.answer(w, r, method, params)
}

func (s *Server) answer(w http.ResponseWriter, r *http.Request, method string, params map[string]string) {
	switch method {
	case "getMe":
		reply(w, map[string]any{"id": ID, "is_bot": true, "first_name": "deepward", "username": Name})
	case "getUpdates":
		s.getUpdates(w, r, params)
	case "getChatAdministrators":
		reply(w, s.adminList(chatOf(params)))
	case "sendMessage", "sendDocument", "sendPhoto", "editMessageText":
		reply(w, s.record(method, params))
	case "setMessageReaction", "answerCallbackQuery", "answerInlineQuery":
		s.record(method, params)
		reply(w, true)
	default:
		reply(w, true)
	}
}

func chatOf(params map[string]string) int64 {
	n, _ := strconv.ParseInt(params["chat_id"], 10, 64)
	return n
}

// record keeps a visible call and returns the message it made or changed.
func (s *Server) record(method string, params map[string]string) any {
	s.mu.Lock()
	defer s.mu.Unlock()
	id, _ := strconv.Atoi(params["message_id"])
	if method != "editMessageText" && strings.HasPrefix(method, "send") {
		s.message++
		id = s.message
	}
	text := params["text"]
	if text == "" {
		text = params["caption"]
	}
	s.calls = append(s.calls, Call{method, chatOf(params), text, id, params})
	return map[string]any{"message_id": id, "date": 1, "chat": map[string]any{"id": chatOf(params), "type": "private"}}
}

func (s *Server) adminList(chat int64) any {
	s.mu.Lock()
	defer s.mu.Unlock()
	list := []any{}
	for _, id := range s.admins[chat] {
		list = append(list, map[string]any{"status": "administrator", "user": map[string]any{"id": id, "first_name": "A"}})
	}
	return list
}

// getUpdates forgets what the offset confirms, then waits for more. A second
// poll ends the first with a conflict.
func (s *Server) getUpdates(w http.ResponseWriter, r *http.Request, params map[string]string) {
	offset, _ := strconv.Atoi(params["offset"])
	limit, _ := strconv.Atoi(params["limit"])
	wait, _ := strconv.Atoi(params["timeout"])
	deadline := time.Now().Add(time.Duration(wait) * time.Second)
	s.mu.Lock()
	defer s.mu.Unlock()
	s.polls++
	mine := s.polls
	if offset > 0 {
		s.updates = slices.DeleteFunc(s.updates, func(u update) bool { return u.id < offset })
	}
	go func() { // wakes the wait when the client goes or the time is over
		select {
		case <-r.Context().Done():
		case <-time.After(time.Until(deadline)):
		}
		s.cond.Broadcast()
	}()
	for len(s.updates) == 0 && time.Now().Before(deadline) && r.Context().Err() == nil && !s.stopped {
		s.cond.Wait()
		if s.polls != mine {
			refuse(w, http.StatusConflict, "Conflict: terminated by other getUpdates request; make sure that only one bot instance is running", nil)
			return
		}
	}
	batch := []json.RawMessage{}
	for _, u := range s.updates[:min(len(s.updates), max(1, limit))] {
		batch = append(batch, u.raw)
	}
	reply(w, batch)
}

func reply(w http.ResponseWriter, result any) {
	w.Header().Set("Content-Type", "application/json")
	json.NewEncoder(w).Encode(map[string]any{"ok": true, "result": result})
}

// Refuse answers a call with an error of the Bot API; parameters such as
// retry_after may be given.
func Refuse(w http.ResponseWriter, code int, text string, parameters map[string]any) {
	refuse(w, code, text, parameters)
}

func refuse(w http.ResponseWriter, code int, text string, parameters map[string]any) {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(code)
	body := map[string]any{"ok": false, "error_code": code, "description": text}
	if parameters != nil {
		body["parameters"] = parameters
	}
	json.NewEncoder(w).Encode(body)
}
