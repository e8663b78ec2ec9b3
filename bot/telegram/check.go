package telegram

import (
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"
)

// Found is what the server says of the bot.
type Found struct {
	// Name is the bot's name, without @.
	Name string
	// ReadsGroups is true when privacy mode is off, JoinsGroups when the bot may be
	// added to groups.
	ReadsGroups, JoinsGroups bool
	// Inline is true when the bot is asked in other chats by its name.
	Inline bool
	// Commands is how many commands are listed for everybody now; -1 where the server
	// does not tell.
	Commands int
	Webhook  WebhookState
}

// WebhookState is what the server knows of a webhook.
type WebhookState struct {
	// Host is where updates are pushed, "" for none. The rest of the address may
	// hold a secret.
	Host string
	// Waiting is how many updates wait at the server.
	Waiting int
	// LastError is why the last push failed, "" if none did.
	LastError string
	// Unknown is why the server does not tell, nil if it does.
	Unknown error
}

// Check asks the server who the bot is and what webhook it has, once, and changes
// nothing. The error never holds the token.
func Check(ctx context.Context, c Config) (Found, error) {
	c, err := c.ready()
	if err != nil {
		return Found{}, err
	}
	silence()
	cl := newClient(ctx, c, newMeters(c.Now, func() (int, time.Time) { return 0, time.Time{} }, nil), newPace(c))
	defer cl.http.CloseIdleConnections()
	api, err := tgbotapi.NewBotAPIWithClient(c.Token.secret, endpointOf(c.APIURL), cl)
	switch {
	case isUnauthorised(err):
		return Found{}, errRefused
	case err != nil:
		return Found{}, fmt.Errorf("the Bot API is out of reach, check the network and --api-url: %w", cl.clean(err))
	}
	return Found{
		Name: api.Self.UserName, ReadsGroups: api.Self.CanReadAllGroupMessages, JoinsGroups: api.Self.CanJoinGroups,
		Inline: api.Self.SupportsInlineQueries, Commands: countCommands(api),
		Webhook: askWebhook(api, c.Token),
	}, nil
}

func countCommands(api *tgbotapi.BotAPI) int {
	var list []json.RawMessage
	resp, err := api.MakeRequest("getMyCommands", nil)
	if err != nil || json.Unmarshal(resp.Result, &list) != nil {
		return -1
	}
	return len(list)
}

func askWebhook(api *tgbotapi.BotAPI, token Token) (w WebhookState) {
	var info tgbotapi.WebhookInfo
	resp, err := api.MakeRequest("getWebhookInfo", nil)
	if err == nil {
		err = json.Unmarshal(resp.Result, &info)
	}
	if err != nil {
		w.Unknown = err
		return w
	}
	w.Waiting, w.LastError = info.PendingUpdateCount, token.hide(info.LastErrorMessage)
	if u, err := url.Parse(info.URL); err == nil {
		w.Host = u.Host
	}
	return w
}
