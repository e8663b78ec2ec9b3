package telegram

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/bot"
	"deepward/bot/delivery"
	"deepward/store/catch"
)

// acknowledgement is a reaction from the set that Telegram allows.
const acknowledgement = "👍"

// send tries one part of a reply. What of it has not left yet says how late it is.
func (s *service) send(ctx context.Context, j *delivery.Job) (r delivery.Result) {
	if err := guard(func() error { r = s.sendPart(ctx, j); return nil }); err != nil {
		r = delivery.Result{Verdict: never, Err: err}
	}
	return r
}

func (s *service) sendPart(ctx context.Context, j *delivery.Job) delivery.Result {
	if !j.Begun {
		j.Parts = partsOf(j.Reply.SaidLate(s.now()))
	}
	if len(j.Parts) == 0 {
		return delivery.Result{Message: j.Last}
	}
	part := j.Parts[0]
	if part.Group { // what goes to a person instead stays with them
		part = part.MovedTo(j.Reply.Chat)
	}
	id, follow, err := s.holdingPlace(ctx).part(ctx, part)
	if v := judge(err); v != delivered {
		if v == gone && part.Chat != j.Reply.Chat {
			v = never // a person who is out of reach is not the group
		}
		return s.failed(v, err)
	}
	j.Begun, j.Parts = true, append(follow, j.Parts[1:]...)
	if id != 0 {
		j.Last = id
		s.pin(ctx, part, id)
	}
	return delivery.Result{Message: j.Last, More: len(j.Parts) > 0}
}

// pin keeps a message in sight, in silence. A bot that may not pin leaves it as it is.
func (s *service) pin(ctx context.Context, r bot.Reply, message int) {
	if !r.Pin || r.Edit != 0 {
		return
	}
	_, err := s.with(ctx).MakeRequest("pinChatMessage", tgbotapi.Params{
		"chat_id": fmt.Sprint(r.Chat), "message_id": fmt.Sprint(message), "disable_notification": "true",
	})
	if err != nil {
		s.log.Info("a season card is not pinned", "error", s.client.clean(err))
	}
}

// partsOf cuts a long text; anything else goes in one.
func partsOf(r bot.Reply) []bot.Reply {
	if r.PressID != "" || r.InlineID != "" || r.React || r.Attach != nil {
		return []bot.Reply{r}
	}
	return pieces(r)
}

// part makes the calls for one part. What has to go in its place or after it is
// returned to follow.
func (s caller) part(ctx context.Context, r bot.Reply) (id int, follow []bot.Reply, err error) {
	switch {
	case r.PressID != "":
		return 0, nil, s.answerPress(r)
	case r.InlineID != "":
		return 0, nil, s.answerInline(r)
	case r.React:
		follow, err = s.react(r)
		return 0, follow, err
	case r.Attach != nil:
		return s.file(ctx, r)
	default:
		return s.text(r)
	}
}

// failed says what an error means for the delivery.
func (s *service) failed(v verdict, err error) delivery.Result {
	r := delivery.Result{Verdict: v, Err: err}
	switch v {
	case moved:
		r.MovedTo = movedTo(err)
	case later:
		r.Silent = !hasAnswered(err)
		if asked := retryAfter(err); asked > 0 {
			r.Wait = s.waitAfter(err, 0)
			s.meters.limited()
		}
	}
	return r
}

// text sends or replaces a message. A text that the server cannot parse goes
// again as it is; a message that cannot be replaced is followed by a new one.
func (s caller) text(r bot.Reply) (id int, follow []bot.Reply, err error) {
	method, params := "sendMessage", s.target(r)
	if r.Edit != 0 {
		method = "editMessageText"
		params.AddNonZero("message_id", r.Edit)
	}
	s.hidePreview(params)
	if err := s.addMarkup(params, r); err != nil {
		return 0, nil, err
	}
	params["text"], params["parse_mode"] = markup(r.Text, r.Headline), tgbotapi.ModeHTML
	id, err = s.call(method, params)
	if says(err, "can't parse entities") {
		params["text"] = r.Text
		delete(params, "parse_mode")
		id, err = s.call(method, params)
	}
	switch {
	case r.Edit != 0 && judge(err) == delivered:
		if err == nil && len(r.Buttons) > 0 {
			s.changed.put(spot{r.Chat, r.Edit}, struct{}{}, s.now().Add(settling), keyboards)
		}
		return r.Edit, nil, nil
	case r.Edit != 0 && says(err, "message to edit not found", "message can't be edited", "there is no text in the message", "MESSAGE_ID_INVALID"):
		r.Edit = 0
		return 0, []bot.Reply{r}, nil
	case topicShut(err):
		return 0, elsewhere(r), nil
	}
	return id, nil, err
}

// topicShut is true when a topic was closed or deleted.
func topicShut(err error) bool {
	return says(err, "TOPIC_CLOSED", "TOPIC_DELETED", "message thread not found")
}

// elsewhere is where a reply goes that a topic does not take: to the group's general
// topic, and where that is closed too to the person it answers.
func elsewhere(r bot.Reply) []bot.Reply {
	switch {
	case r.Thread != 0:
	case r.Group && r.For != 0:
		r.Chat, r.Group = catch.ChatID(r.For), false // a private chat has its person's number
	default:
		return nil
	}
	r.Thread, r.ReplyTo, r.Edit = 0, 0, 0
	return []bot.Reply{r}
}

// target names the chat, the topic and the message answered.
func (s *service) target(r bot.Reply) tgbotapi.Params {
	params := tgbotapi.Params{}
	params.AddNonZero64("chat_id", int64(r.Chat))
	if r.Edit != 0 {
		return params
	}
	params.AddNonZero("message_thread_id", r.Thread)
	switch {
	case r.ReplyTo == 0:
	case s.old.Load():
		params.AddNonZero("reply_to_message_id", r.ReplyTo)
		params.AddBool("allow_sending_without_reply", true)
	default:
		params["reply_parameters"] = fmt.Sprintf(`{"message_id":%d,"allow_sending_without_reply":true}`, r.ReplyTo)
	}
	return params
}

// hidePreview keeps links from growing pictures.
func (s *service) hidePreview(params tgbotapi.Params) {
	if s.old.Load() {
		params.AddBool("disable_web_page_preview", true)
		return
	}
	params["link_preview_options"] = `{"is_disabled":true}`
}

// unknownTo notes a server from before version 7.0 of the Bot API by a method of that
// version that it does not know: it takes the parameters of before, and would leave the
// present ones unread without a word.
func (s *service) unknownTo(err error) {
	if isUnknownMethod(err) && !s.old.Swap(true) {
		s.log.Info("the server is of before Bot API 7.0; it gets the parameters of then")
	}
}

// key is a button as the Bot API takes it; the library's has no style.
type key struct {
	Text  string `json:"text"`
	Data  string `json:"callback_data,omitempty"`
	URL   string `json:"url,omitempty"`
	Style string `json:"style,omitempty"`
}

// key is a button as the server takes it; ok is false for one that it would refuse.
func (s *service) key(b bot.Button) (k key, ok bool) {
	if b.Start != "" && s.self.name != "" {
		return key{Text: b.Label, URL: "https://t.me/" + s.self.name + "?start=" + b.Start, Style: b.Style}, true
	}
	return key{Text: b.Label, Data: b.Data, Style: b.Style}, strings.TrimSpace(b.Label) != "" && b.Data != "" && len(b.Data) <= maxPress
}

// addMarkup puts the buttons under a message. A button that the server would
// refuse is left out: the message matters more.
func (s *service) addMarkup(params tgbotapi.Params, r bot.Reply) error {
	var rows [][]key
	for _, row := range r.Buttons {
		var buttons []key
		for _, b := range row {
			if k, ok := s.key(b); ok {
				buttons = append(buttons, k)
			}
		}
		if len(buttons) > 0 {
			rows = append(rows, buttons)
		}
	}
	switch {
	case len(rows) > 0:
		return params.AddInterface("reply_markup", map[string]any{"inline_keyboard": rows})
	case r.Asks && r.Group && r.Edit == 0 && r.ReplyTo != 0: // opened for the person answered only
		params["reply_markup"] = `{"force_reply":true,"selective":true}`
	}
	return nil
}

// call makes a request that answers with a message, and returns its number.
func (s caller) call(method string, params tgbotapi.Params) (int, error) {
	resp, err := s.api.MakeRequest(method, params)
	if err != nil {
		return 0, err
	}
	return numberOf(resp), nil
}

// numberOf is the number of the message that a call made; 0 where the call
// answers "true": delivered, without a number.
func numberOf(resp *tgbotapi.APIResponse) int {
	var m struct {
		ID int `json:"message_id"`
	}
	_ = json.Unmarshal(resp.Result, &m)
	return m.ID
}

func (s caller) answerPress(r bot.Reply) error {
	params := tgbotapi.Params{"callback_query_id": r.PressID}
	params.AddNonEmpty("text", cut(r.Text, maxNotice))
	_, err := s.api.MakeRequest("answerCallbackQuery", params)
	return err
}

// answerInline answers for this person and now: "cache_time" is written out, since
// the library leaves zeros away and the server would keep the answer for minutes.
func (s caller) answerInline(r bot.Reply) error {
	params := tgbotapi.Params{"inline_query_id": r.InlineID, "cache_time": "0", "is_personal": "true"}
	results := []any{}
	if text := cut(r.Text, maxText); strings.TrimSpace(text) != "" {
		title, _, _ := strings.Cut(text, "\n")
		if r.Title != "" {
			title = r.Title
		}
		article := tgbotapi.NewInlineQueryResultArticleHTML("advice", title, markup(text, true))
		_, article.Description, _ = strings.Cut(text, "\n")
		results = append(results, article)
	}
	if err := params.AddInterface("results", results); err != nil {
		return err
	}
	_, err := s.api.MakeRequest("answerInlineQuery", params)
	return err
}

// react puts a mark on a message; where the chat allows none, or the server knows
// none, words follow.
func (s caller) react(r bot.Reply) (follow []bot.Reply, err error) {
	params := tgbotapi.Params{}
	params.AddNonZero64("chat_id", int64(r.Chat))
	params.AddNonZero("message_id", r.ReplyTo)
	if err := params.AddInterface("reaction", []map[string]string{{"type": "emoji", "emoji": acknowledgement}}); err != nil {
		return nil, err
	}
	_, err = s.api.MakeRequest("setMessageReaction", params)
	s.unknownTo(err)
	if judge(err) == never || says(err, "Not Found") {
		r.React = false
		return pieces(r), nil
	}
	return nil, err
}
