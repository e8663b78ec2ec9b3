package telegram

import (
	"context"
	"encoding/json"
	"strings"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/bot"
	"deepward/bot/delivery"
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
	part := j.Parts[0].MovedTo(j.Reply.Chat)
	id, follow, err := s.holdingPlace(ctx).part(ctx, part)
	if v := judge(err); v != delivered {
		return s.failed(v, err)
	}
	j.Begun, j.Parts = true, append(follow, j.Parts[1:]...)
	if id != 0 {
		j.Last = id
	}
	return delivery.Result{Message: j.Last, More: len(j.Parts) > 0}
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
	method, params := "sendMessage", target(r)
	if r.Edit != 0 {
		method = "editMessageText"
		params.AddNonZero("message_id", r.Edit)
	}
	params.AddBool("disable_web_page_preview", true)
	if err := addMarkup(params, r, s.self.name); err != nil {
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
	case r.Thread != 0 && says(err, "message thread not found"):
		r.Thread = 0 // the topic was deleted
		return 0, []bot.Reply{r}, nil
	}
	return id, nil, err
}

// target names the chat, the topic and the message answered.
func target(r bot.Reply) tgbotapi.Params {
	params := tgbotapi.Params{}
	params.AddNonZero64("chat_id", int64(r.Chat))
	if r.Edit != 0 {
		return params
	}
	params.AddNonZero("message_thread_id", r.Thread)

	if r.ReplyTo != 0 { // the older form, which every server takes
		params.AddNonZero("reply_to_message_id", r.ReplyTo)
		params.AddBool("allow_sending_without_reply", true)
	}
	return params
}

// addMarkup puts the buttons under a message of the bot of that name. A button that the server would
// refuse is left out: the message matters more.
func addMarkup(params tgbotapi.Params, r bot.Reply, name string) error {
	var rows [][]tgbotapi.InlineKeyboardButton
	for _, row := range r.Buttons {
		var buttons []tgbotapi.InlineKeyboardButton
		for _, b := range row {
			if b.Start != "" && name != "" {
				buttons = append(buttons, tgbotapi.NewInlineKeyboardButtonURL(b.Label, "https://t.me/"+name+"?start="+b.Start))
			} else if strings.TrimSpace(b.Label) != "" && b.Data != "" && len(b.Data) <= maxPress {
				buttons = append(buttons, tgbotapi.NewInlineKeyboardButtonData(b.Label, b.Data))
			}
		}
		if len(buttons) > 0 {
			rows = append(rows, buttons)
		}
	}
	if len(rows) == 0 {
		return nil
	}
	return params.AddInterface("reply_markup", tgbotapi.NewInlineKeyboardMarkup(rows...))
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
	if judge(err) == never || says(err, "Not Found") {
		r.React = false
		return pieces(r), nil
	}
	return nil, err
}
