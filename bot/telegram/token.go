package telegram

import (
	"errors"
	"log/slog"
	"regexp"
	"strings"
)

// Token is the secret that lets a program act as the bot. However it is printed,
// logged or encoded, it shows only that it is there.
type Token struct{ secret string }

const redacted = "[token]"

// String hides the token.
func (Token) String() string { return redacted }

// GoString hides the token from %#v.
func (Token) GoString() string { return redacted }

// MarshalText hides the token from encoders.
func (Token) MarshalText() ([]byte, error) { return []byte(redacted), nil }

// LogValue hides the token from logs.
func (Token) LogValue() slog.Value { return slog.StringValue(redacted) }

// hide takes the token out of a text, should it have got in.
func (t Token) hide(text string) string {
	if t.secret == "" {
		return text
	}
	return strings.ReplaceAll(text, t.secret, redacted)
}

// ErrNoToken: neither the environment nor a file gives a token.
var ErrNoToken = errors.New("no token: put it in DEEPWARD_TOKEN, or name a file that holds it in DEEPWARD_TOKEN_FILE or with --token-file")

// tokenForm is how Telegram writes tokens: a number, a colon, a secret. The upper bound
// stands apart: in the pattern it costs milliseconds at every start.
var tokenForm = regexp.MustCompile(`^[0-9]{1,20}:[A-Za-z0-9_-]{10,}$`)

// maxToken is the longest token, in bytes.
const maxToken = 121

// NewToken checks the form of a token.
func NewToken(text string) (Token, error) {
	text = strings.TrimSpace(text)
	if len(text) > maxToken || !tokenForm.MatchString(text) {
		return Token{}, errors.New("that is no bot token: it has the form 123456:letters; copy it anew from the bot's maker")
	}
	return Token{text}, nil
}
