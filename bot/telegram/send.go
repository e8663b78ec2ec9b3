package telegram

import (
	"context"
	"encoding/json"
	"errors"
	"html"
	"net/http"
	"os"
	"strings"
	"time"
	"unicode/utf16"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/bot"
)

// The limits of messages, in UTF-16 units to be safe.
const (
	maxText    = 4096
	maxCaption = 1024
	maxNotice  = 200
)

// acknowledgement is a reaction from the set that Telegram allows.
const acknowledgement = "👍"

// result is what became of one sending.
type result struct {
	message int
	// again is when to try again; zero when it is settled.
	again time.Duration
	// gone is true when the chat can be written to no more.
	gone bool
	// movedTo is the new number of the chat, 0 if it has not moved.
	movedTo int64
	err     error
}

// send delivers one reply.
func (s *service) send(ctx context.Context, out bot.Sending) result {
	r := out.Reply
	switch {
	case r.PressID != "":
		return s.judge(s.answerPress(r), out)
	case r.InlineID != "":
		return s.judge(s.answerInline(r), out)
	case r.React:
		err := s.react(r)
		if err == nil {
			return result{}
		}
		if retryAfter(err) > 0 {
			return s.judge(err, out)
		}
		return s.sendText(r, out) // no reactions here: say it in words
	case r.Attach != nil:
		return s.sendFile(ctx, r, out)
	default:
		return s.sendText(r, out)
	}
}

// sendText sends or edits a message, in pieces if it is long.
func (s *service) sendText(r bot.Reply, out bot.Sending) result {
	if r.Text == "" {
		return result{}
	}
	first := 0
	pieces := split(r.Text, maxText)
	for i, piece := range pieces {
		p := r
		p.Text, p.Headline = piece, r.Headline && i == 0
		if i < len(pieces)-1 {
			p.Buttons = nil
		}
		id, err := s.message(p)
		if err != nil {
			return s.judge(err, out)
		}
		if first == 0 || i == len(pieces)-1 {
			first = id
		}
	}
	return result{message: first}
}

// message makes one sendMessage or editMessageText call; a text that the server
// cannot parse goes again as it is.
func (s *service) message(r bot.Reply) (int, error) {
	method, params := "sendMessage", s.target(r)
	if r.Edit != 0 {
		method = "editMessageText"
		params.AddNonZero("message_id", r.Edit)
	}
	params["text"] = markup(r)
	params["parse_mode"] = tgbotapi.ModeHTML
	params["disable_web_page_preview"] = "true"
	if err := addButtons(params, r); err != nil {
		return 0, err
	}
	id, err := s.call(method, params)
	if err != nil && strings.Contains(err.Error(), "can't parse entities") {
		delete(params, "parse_mode")
		params["text"] = r.Text
		id, err = s.call(method, params)
	}
	if err != nil && r.Edit != 0 && (strings.Contains(err.Error(), "message to edit not found") || strings.Contains(err.Error(), "message can't be edited")) {
		r.Edit = 0
		return s.message(r)
	}
	if r.Edit != 0 && err == nil {
		return r.Edit, nil
	}
	return id, err
}

// target names the chat, the topic and the message answered.
func (s *service) target(r bot.Reply) tgbotapi.Params {
	params := tgbotapi.Params{}
	params.AddNonZero64("chat_id", r.Chat)
	if r.Edit != 0 {
		return params
	}
	params.AddNonZero("message_thread_id", r.Thread)
	if r.ReplyTo != 0 {
		params.AddNonZero("reply_to_message_id", r.ReplyTo)
		params.AddBool("allow_sending_without_reply", true)
	}
	return params
}

// markup escapes a text and makes its first line bold when it is a headline.
func markup(r bot.Reply) string {
	if !r.Headline {
		return html.EscapeString(r.Text)
	}
	head, rest, more := strings.Cut(r.Text, "\n")
	text := "<b>" + html.EscapeString(head) + "</b>"
	if more {
		text += "\n" + html.EscapeString(rest)
	}
	return text
}

func addButtons(params tgbotapi.Params, r bot.Reply) error {
	if len(r.Buttons) == 0 {
		return nil
	}
	rows := make([][]tgbotapi.InlineKeyboardButton, len(r.Buttons))
	for i, row := range r.Buttons {
		for _, b := range row {
			rows[i] = append(rows[i], tgbotapi.NewInlineKeyboardButtonData(b.Label, b.Data))
		}
	}
	return params.AddInterface("reply_markup", tgbotapi.NewInlineKeyboardMarkup(rows...))
}

// call makes a request that answers with a message, and returns its number.
func (s *service) call(method string, params tgbotapi.Params) (int, error) {
	resp, err := s.api.MakeRequest(method, params)
	if err != nil {
		return 0, err
	}
	var m struct {
		ID int `json:"message_id"`
	}
	if err := json.Unmarshal(resp.Result, &m); err != nil {
		return 0, nil // some calls answer "true": delivered, without a number
	}
	return m.ID, nil
}

func (s *service) answerPress(r bot.Reply) error {
	params := tgbotapi.Params{"callback_query_id": r.PressID}
	params.AddNonEmpty("text", cut(r.Text, maxNotice))
	_, err := s.api.MakeRequest("answerCallbackQuery", params)
	return err
}

func (s *service) answerInline(r bot.Reply) error {
	params := tgbotapi.Params{"inline_query_id": r.InlineID, "cache_time": "0", "is_personal": "true"}
	results := []any{}
	if r.Text != "" {
		article := tgbotapi.NewInlineQueryResultArticleHTML("advice", r.Title, markup(bot.Reply{Text: r.Text, Headline: true}))
		_, article.Description, _ = strings.Cut(r.Text, "\n")
		results = append(results, article)
	}
	if err := params.AddInterface("results", results); err != nil {
		return err
	}
	_, err := s.api.MakeRequest("answerInlineQuery", params)
	return err
}

func (s *service) react(r bot.Reply) error {
	params := tgbotapi.Params{}
	params.AddNonZero64("chat_id", r.Chat)
	params.AddNonZero("message_id", r.ReplyTo)
	if err := params.AddInterface("reaction", []map[string]string{{"type": "emoji", "emoji": acknowledgement}}); err != nil {
		return err
	}
	_, err := s.api.MakeRequest("setMessageReaction", params)
	return err
}

// sendFile makes the file and uploads it, with the text as its caption. A file
// that cannot be made is told in words, once.
func (s *service) sendFile(ctx context.Context, r bot.Reply, out bot.Sending) result {
	f, err := s.desk.Make(ctx, *r.Attach)
	if err != nil {
		s.log.Error("a file could not be made", "kind", r.Attach.Kind, "error", err)
		r.Text = strings.TrimSpace(r.Text + "\n" + err.Error())
		return s.sendText(r, out)
	}
	defer f.Done()
	params := s.target(r)
	caption := firstText(f.Caption, r.Text)
	rest := ""
	if utf16Len(caption) > maxCaption {
		caption, rest = "", caption
	}
	if caption != "" {
		params["caption"] = markup(bot.Reply{Text: caption, Headline: r.Headline})
		params["parse_mode"] = tgbotapi.ModeHTML
	}
	method, field := "sendDocument", "document"
	if r.Attach.Photo {
		method, field = "sendPhoto", "photo"
	}
	id, err := s.upload(method, field, params, f)
	if err != nil {
		return s.judge(err, out)
	}
	if rest != "" {
		r.Attach, r.Text = nil, rest
		return s.sendText(r, out)
	}
	return result{message: id}
}

func firstText(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// judge turns an error of the server into what to do about it.
func (s *service) judge(err error, out bot.Sending) result {
	if err == nil {
		return result{}
	}
	var e *tgbotapi.Error
	if !errors.As(err, &e) {
		return result{again: s.backoff(out.Tries), err: err}
	}
	text := e.Message
	switch {
	case e.MigrateToChatID != 0:
		return result{movedTo: e.MigrateToChatID, err: err}
	case e.RetryAfter > 0:
		s.meters.limited()
		return result{again: time.Duration(e.RetryAfter) * time.Second, err: err}
	case strings.Contains(text, "message is not modified"):
		return result{message: out.Reply.Edit}
	case e.Code == http.StatusForbidden, strings.HasPrefix(text, "Forbidden"), strings.Contains(text, "chat not found"):
		return result{gone: true, err: err}
	case e.Code == http.StatusBadRequest, strings.HasPrefix(text, "Bad Request"): // the same again changes nothing
		return result{err: err}
	default:
		return result{again: s.backoff(out.Tries), err: err}
	}
}

// backoff grows with the failed tries, to a minute.
func (s *service) backoff(tries int) time.Duration {
	d := time.Second << min(tries, 6)
	return min(d, time.Minute)
}

// split cuts a long text at line ends.
func split(text string, most int) []string {
	var pieces []string
	for utf16Len(text) > most {
		head := cut(text, most)
		if i := strings.LastIndexByte(head, '\n'); i > 0 {
			head = head[:i]
		}
		pieces = append(pieces, head)
		text = strings.TrimPrefix(text[len(head):], "\n")
	}
	return append(pieces, text)
}

// cut keeps the first so many UTF-16 units of a text.
func cut(text string, most int) string {
	n := 0
	for i, r := range text {
		n += utf16.RuneLen(r)
		if n > most {
			return text[:i]
		}
	}
	return text
}

func utf16Len(text string) int {
	n := 0
	for _, r := range text {
		n += max(1, utf16.RuneLen(r))
	}
	return n
}

// upload sends a file under its own name, never under its path.
func (s *service) upload(method, field string, params tgbotapi.Params, f bot.File) (int, error) {
	var data tgbotapi.RequestFileData = tgbotapi.FileBytes{Name: f.Name, Bytes: f.Data}
	if f.Path != "" {
		in, err := os.Open(f.Path)
		if err != nil {
			return 0, err
		}
		defer in.Close()
		data = tgbotapi.FileReader{Name: f.Name, Reader: in}
	}
	resp, err := s.api.UploadFiles(method, params, []tgbotapi.RequestFile{{Name: field, Data: data}})
	if err != nil {
		return 0, err
	}
	var m struct {
		ID int `json:"message_id"`
	}
	return m.ID, json.Unmarshal(resp.Result, &m)
}
