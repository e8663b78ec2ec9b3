// Package standin plays a Bot API server for tests, written from Telegram's
// public documentation of the Bot API: updates are kept until they are
// confirmed, polls wait, messages are checked as the real server checks them,
// and faults can be put in.
package standin

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"time"
)

// Token is the token that the stand-in takes.
const Token = "123456789:stand-in-token-for-tests-0000000000"

// Name and ID are who the bot is here.
const (
	Name = "deepward_test_bot"
	ID   = 42
)

// Server is one stand-in. Its URL is the address for the bot.
type Server struct {
	*httptest.Server
	direct bool

	mu      sync.Mutex
	cond    *sync.Cond
	stopped bool
	spoil   Spoiler

	updates []update
	next    int // number of the next update
	polls   int
	hook    *hook // where updates are pushed, nil to be polled

	message int // number of the last message made
	texts   map[place]string
	markups map[place]string
	calls   []Call
	admins  map[int64][]int64
	left    map[int64]map[int64]string // standing of those who are not members, by chat
	blocked map[int64]bool
	mute    map[int64]bool // chats that allow no reactions
	moved   map[int64]int64
	files   map[string][]byte // what people sent, by its id
	hooking sync.WaitGroup
}

// place is where a message stands.
type place struct {
	chat    int64
	message int
}

// New starts a stand-in on the loopback address.
func New() *Server {
	s := fresh()
	s.Server = httptest.NewServer(http.HandlerFunc(s.serve))
	return s
}

// NewDirect makes a stand-in without a network: it is an http.RoundTripper, so
// that a test can run on a clock of its own.
func NewDirect() *Server {
	s := fresh()
	s.direct, s.Server = true, &httptest.Server{URL: "http://standin.invalid"}
	return s
}

func fresh() *Server {
	s := &Server{
		next: 1, message: 1000, texts: map[place]string{}, markups: map[place]string{}, admins: map[int64][]int64{},
		blocked: map[int64]bool{}, mute: map[int64]bool{}, moved: map[int64]int64{}, files: map[string][]byte{},
	}
	s.cond = sync.NewCond(&s.mu)
	return s
}

// Close ends waiting polls, pushes and the server.
func (s *Server) Close() {
	s.mu.Lock()
	s.stopped = true
	s.cond.Broadcast()
	s.mu.Unlock()
	s.hooking.Wait()
	if !s.direct {
		s.Server.Close()
	}
}

// RoundTrip answers a call without a network.
func (s *Server) RoundTrip(req *http.Request) (*http.Response, error) {
	ctx, cancel := context.WithCancel(req.Context())
	defer cancel()
	if req.Body != nil {
		defer req.Body.Close()
	}
	w := httptest.NewRecorder()
	done := make(chan error, 1)
	go func() {
		defer func() {
			if r := recover(); r != nil {
				done <- fmt.Errorf("connection lost: %v", r)
			}
		}()
		s.serve(w, req.WithContext(ctx))
		done <- nil
	}()
	select {
	case err := <-done:
		if err != nil {
			return nil, err
		}
		return w.Result(), nil
	case <-ctx.Done():
		<-done
		return nil, ctx.Err()
	}
}

// parametersOf reads the parameters of a call in any of the forms that the Bot API
// takes: query, form, multipart or JSON. The body is read before anything waits: a
// handler that does not would never see the client go away.
func parametersOf(r *http.Request) map[string]string {
	params := map[string]string{}
	if strings.HasPrefix(r.Header.Get("Content-Type"), "application/json") {
		var body map[string]json.RawMessage
		_ = json.NewDecoder(r.Body).Decode(&body)
		for k, v := range body {
			var text string
			if json.Unmarshal(v, &text) != nil {
				text = string(v) // a number, a flag or an object, as a form would have it
			}
			params[k] = text
		}
		return params
	}
	_ = r.ParseMultipartForm(64 << 20)
	for k := range r.Form {
		params[k] = r.Form.Get(k)
	}
	return params
}

func (s *Server) serve(w http.ResponseWriter, r *http.Request) {
	params := parametersOf(r)
	path, isFile := strings.CutPrefix(r.URL.Path, "/file/bot")
	token, method, _ := strings.Cut(strings.TrimPrefix(path, "/bot"), "/")
	if isFile {
		params["file_path"], method = method, download
	}
	if token != Token {
		Refuse(w, http.StatusUnauthorized, "Unauthorized", nil)
		return
	}
	s.mu.Lock()
	spoil := s.spoil
	s.mu.Unlock()
	x := &Exchange{W: w, R: r, Method: method, Params: params, server: s}
	if spoil != nil && spoil(x) {
		return
	}
	s.answer(w, r, method, params)
}

func (s *Server) answer(w http.ResponseWriter, r *http.Request, method string, params map[string]string) {
	switch method {
	case "getMe":
		reply(w, map[string]any{"id": ID, "is_bot": true, "first_name": "deepward", "username": Name, "can_join_groups": true})
	case "getUpdates":
		s.getUpdates(w, r, params)
	case "getChatAdministrators":
		reply(w, s.adminList(number(params["chat_id"])))
	case "getChatMember":
		reply(w, s.member(number(params["chat_id"]), number(params["user_id"])))
	case "getWebhookInfo":
		reply(w, map[string]any{"url": s.Webhook(), "has_custom_certificate": false, "pending_update_count": s.Waiting()})
	case "getFile":
		s.getFile(w, params["file_id"])
	case download:
		s.download(w, params["file_path"])
	case "setWebhook":
		s.setWebhook(params["url"], params["secret_token"])
		reply(w, true)
	case "deleteWebhook":
		s.setWebhook("", "")
		reply(w, true)
	case "sendMessage", "sendDocument", "sendPhoto", "editMessageText", "setMessageReaction", "answerCallbackQuery", "answerInlineQuery":
		s.show(w, r, method, params)
	default:
		reply(w, true)
	}
}

func number(text string) int64 {
	n, _ := strconv.ParseInt(text, 10, 64)
	return n
}

// SetAdmins says who administers a chat; the first made it.
func (s *Server) SetAdmins(chat int64, people ...int64) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.admins[chat] = people
}

// SetStanding says how a person stands to a chat: "left", "kicked", "restricted", or
// "member" as all do at first.
func (s *Server) SetStanding(chat, person int64, status string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.left == nil {
		s.left = map[int64]map[int64]string{}
	}
	if s.left[chat] == nil {
		s.left[chat] = map[int64]string{}
	}
	s.left[chat][person] = status
}

func (s *Server) adminList(chat int64) any {
	s.mu.Lock()
	defer s.mu.Unlock()
	list := []any{}
	for i, id := range s.admins[chat] {
		status := "administrator"
		if i == 0 {
			status = "creator"
		}
		list = append(list, map[string]any{"status": status, "user": map[string]any{"id": id, "is_bot": false, "first_name": "A"}})
	}
	return list
}

func (s *Server) member(chat, person int64) any {
	s.mu.Lock()
	defer s.mu.Unlock()
	status := "member"
	if told := s.left[chat][person]; told != "" {
		status = told
	}
	for i, id := range s.admins[chat] {
		if id == person {
			status = [...]string{"creator", "administrator"}[min(i, 1)]
		}
	}
	return map[string]any{"status": status, "user": map[string]any{"id": person, "is_bot": false, "first_name": "A"}}
}

func reply(w http.ResponseWriter, result any) {
	w.Header().Set("Content-Type", "application/json")
	json.NewEncoder(w).Encode(map[string]any{"ok": true, "result": result})
}

// Refuse answers a call with an error of the Bot API; parameters such as
// retry_after may be given.
func Refuse(w http.ResponseWriter, code int, text string, parameters map[string]any) {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(code)
	body := map[string]any{"ok": false, "error_code": code, "description": text}
	if parameters != nil {
		body["parameters"] = parameters
	}
	json.NewEncoder(w).Encode(body)
}

// Calls are the visible calls so far: what people were sent and shown.
func (s *Server) Calls() []Call {
	s.mu.Lock()
	defer s.mu.Unlock()
	return append([]Call{}, s.calls...)
}

// Sent are the visible calls for one chat.
func (s *Server) Sent(chat int64) (list []Call) {
	for _, c := range s.Calls() {
		if c.Chat == chat {
			list = append(list, c)
		}
	}
	return list
}

// Count is how many visible calls have come.
func (s *Server) Count() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return len(s.calls)
}

// Await waits until n visible calls have come, and returns them.
func (s *Server) Await(n int, limit time.Duration) []Call {
	for deadline := time.Now().Add(limit); s.Count() < n && time.Now().Before(deadline); {
		time.Sleep(2 * time.Millisecond)
	}
	return s.Calls()
}
