package standin

import (
	"encoding/json"
	"fmt"
	"html"
	"io"
	"mime"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode/utf16"
)

// Call is one request that changed something a person can see.
type Call struct {
	Method string
	Chat   int64
	// Text is the text or caption as it was sent, with its markup.
	Text string
	// Message is the number that the message got or has.
	Message int
	Params  map[string]string
	// File is the name and Data the content of what was uploaded.
	File string
	Data []byte
	At   time.Time
}

// Plain is the text as people see it.
func (c Call) Plain() string {
	if c.Params["parse_mode"] != "HTML" {
		return c.Text
	}
	return html.UnescapeString(tag.ReplaceAllString(c.Text, ""))
}

// button is a button under a message: one that hands data to the bot, or a link.
type button struct {
	Data string `json:"callback_data"`
	URL  string `json:"url"`
}

func (c Call) buttons() []button {
	var m struct {
		Rows [][]button `json:"inline_keyboard"`
	}
	_ = json.Unmarshal([]byte(c.Params["reply_markup"]), &m)
	return slices.Concat(m.Rows...)
}

// Buttons are the data of the buttons under a message, "" for a link.
func (c Call) Buttons() (list []string) {
	for _, b := range c.buttons() {
		list = append(list, b.Data)
	}
	return list
}

// Block makes a person block the bot, or a group put it out.
func (s *Server) Block(chat int64) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.blocked[chat] = true
}

// ForbidReactions makes a chat allow no reactions.
func (s *Server) ForbidReactions(chat int64) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.mute[chat] = true
}

// show keeps a visible call, or refuses it as the real server would.
func (s *Server) show(w http.ResponseWriter, r *http.Request, method string, params map[string]string) {
	c := Call{Method: method, Chat: number(params["chat_id"]), Text: params["text"], Message: int(number(params["message_id"])), Params: params, At: time.Now()}
	if c.Text == "" {
		c.Text = params["caption"]
	}
	c.File, c.Data = uploaded(r)
	s.mu.Lock()
	defer s.mu.Unlock()
	if to := s.moved[c.Chat]; to != 0 {
		Refuse(w, http.StatusBadRequest, "Bad Request: group chat was upgraded to a supergroup chat", map[string]any{"migrate_to_chat_id": to})
		return
	}
	if s.blocked[c.Chat] {
		Refuse(w, http.StatusForbidden, "Forbidden: bot was blocked by the user", nil)
		return
	}
	if why := s.fault400(c); why != "" {
		Refuse(w, http.StatusBadRequest, "Bad Request: "+why, nil)
		return
	}
	s.keep(w, c)
}

// keep notes a call and answers it.
func (s *Server) keep(w http.ResponseWriter, c Call) {
	isMessage := strings.HasPrefix(c.Method, "send")
	if isMessage {
		s.message++
		c.Message = s.message
	}
	s.calls = append(s.calls, c)
	if !isMessage && c.Method != "editMessageText" {
		reply(w, true)
		return
	}
	s.texts[place{c.Chat, c.Message}] = c.Text + c.Params["reply_markup"]
	s.markups[place{c.Chat, c.Message}] = c.Params["reply_markup"]
	message := map[string]any{"message_id": c.Message, "date": 1, "chat": map[string]any{"id": c.Chat, "type": "private"}}
	if c.Method == "sendPhoto" {
		message["photo"] = []map[string]any{{"file_id": fmt.Sprint(fileID, "small"), "width": 90, "height": 90}, {"file_id": fmt.Sprint(fileID, c.Message), "width": 900, "height": 900}}
	}
	reply(w, message)
}

// fileID begins the name of a picture that the server has.
const fileID = "kept-picture-"

// uploaded is the first file of a call, under the name that it was sent with: the
// parser of Go would leave only the last part of a path.
func uploaded(r *http.Request) (name string, data []byte) {
	if r.MultipartForm == nil {
		return "", nil
	}
	for _, list := range r.MultipartForm.File {
		for _, h := range list {
			f, err := h.Open()
			if err != nil {
				continue
			}
			data, _ = io.ReadAll(f)
			f.Close()
			_, about, _ := mime.ParseMediaType(h.Header.Get("Content-Disposition"))
			return about["filename"], data
		}
	}
	return "", nil
}

// The limits of messages.
const (
	mostText    = 4096
	mostCaption = 1024
	mostButton  = 64 // bytes
)

// reactions are some of those that Telegram allows.
const reactions = "👍 👎 ❤ 🔥 🎉 👌 🤔 🏆 ✍ 🐳 👀 🫡 💯"

// fault400 is why the real server would refuse a call, "" if it would not.
func (s *Server) fault400(c Call) string {
	switch c.Method {
	case "setMessageReaction":
		return s.faultOfReaction(c)
	case "answerCallbackQuery", "answerInlineQuery":
		return ""
	case "editMessageText":
		old, ok := s.texts[place{c.Chat, c.Message}]
		if !ok {
			return "message to edit not found"
		}
		if old == c.Text+c.Params["reply_markup"] {
			return "message is not modified: specified new message content and reply markup are exactly the same"
		}
	case "sendDocument", "sendPhoto":
		if c.File == "" && !strings.HasPrefix(c.Params["photo"], fileID) {
			return "there is no file in the request"
		}
	}
	for _, b := range c.buttons() {
		// Exactly one of the two: https://core.telegram.org/bots/api#inlinekeyboardbutton
		if (b.Data == "") == (b.URL == "") || len(b.Data) > mostButton {
			return "BUTTON_DATA_INVALID"
		}
	}
	return faultOfText(c)
}

func (s *Server) faultOfReaction(c Call) string {
	var list []struct{ Type, Emoji string }
	if json.Unmarshal([]byte(c.Params["reaction"]), &list) != nil || len(list) > 1 {
		return "can't parse reaction"
	}
	for _, r := range list {
		if s.mute[c.Chat] || !slices.Contains(strings.Fields(reactions), r.Emoji) {
			return "REACTION_INVALID"
		}
	}
	return ""
}

func faultOfText(c Call) string {
	if c.Params["parse_mode"] == "HTML" {
		if why := faultOfHTML(c.Text); why != "" {
			return "can't parse entities: " + why
		}
	}
	most, n := mostText, len(utf16.Encode([]rune(c.Plain())))
	if c.Method == "sendDocument" || c.Method == "sendPhoto" {
		most = mostCaption
	} else if strings.TrimSpace(c.Plain()) == "" {
		return "message text is empty"
	}
	if n > most {
		return fmt.Sprintf("message is too long (%d)", n)
	}
	return ""
}

var tag = regexp.MustCompile(`</?[^<>]*>`)

// faultOfHTML knows the tags without attributes; every other "<" is an error.
func faultOfHTML(text string) string {
	var open []string
	rest := text
	for i := strings.IndexByte(rest, '<'); i >= 0; i = strings.IndexByte(rest, '<') {
		rest = rest[i:]
		t := tag.FindString(rest)
		name := strings.Trim(t, "</>")
		switch {
		case !slices.Contains([]string{"b", "i", "u", "s", "code", "pre"}, name):
			return "unsupported start tag"
		case !strings.HasPrefix(t, "</"):
			open = append(open, name)
		case len(open) == 0 || open[len(open)-1] != name:
			return "unexpected end tag"
		default:
			open = open[:len(open)-1]
		}
		rest = rest[len(t):]
	}
	if len(open) > 0 {
		return "can't find end tag"
	}
	return ""
}
