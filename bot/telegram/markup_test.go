package telegram

import (
	"testing"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
)

// Deep links: https://core.telegram.org/bots/features#deep-linking.
func TestStartButtonOpensThePrivateChat(t *testing.T) {
	params := tgbotapi.Params{}
	r := bot.Reply{Buttons: [][]bot.Button{{{Label: "Join the club", Start: "club-1-abc"}, {Label: "Why?", Data: "why 1"}}}}
	require.NoError(t, (&service{self: self{name: "reef_bot"}}).addMarkup(params, r))
	assert.JSONEq(t, `{"inline_keyboard":[[{"text":"Join the club","url":"https://t.me/reef_bot?start=club-1-abc"},{"text":"Why?","callback_data":"why 1"}]]}`, params["reply_markup"])
}
