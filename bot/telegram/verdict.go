package telegram

import (
	"errors"
	"net/http"
	"strings"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/bot/delivery"
	"deepward/store/catch"
)

// verdict is what an answer of the server means for a reply.
type verdict = delivery.Verdict

const (
	delivered = delivery.Delivered
	later     = delivery.Later
	never     = delivery.Never
	gone      = delivery.Gone
	moved     = delivery.Moved
)

// rule ties a description of the server to a verdict. The server's codes are too
// coarse: nearly everything is a 400.
type rule struct {
	part string
	is   verdict
}

// rulesOf400 are the descriptions that mean something of their own, as the
// server's published source words them.
func rulesOf400() []rule {
	return []rule{
		{"message is not modified", delivered},
		{"query is too old", delivered}, // nobody waits for that acknowledgement
		{"query ID is invalid", delivered},
		{"chat not found", gone},
		{"user not found", gone},
	}
}

// judge says what an error of a call means.
func judge(err error) verdict {
	if err == nil {
		return delivered
	}
	var a *ErrAnswer
	if errors.As(err, &a) && a.Status == http.StatusRequestEntityTooLarge {
		return never
	}
	var e *tgbotapi.Error
	if !errors.As(err, &e) {
		return later // the network, or a proxy's page
	}
	switch code := codeOf(e); {
	case e.MigrateToChatID != 0:
		return moved
	case e.RetryAfter > 0:
		return later
	case code == http.StatusForbidden:
		return gone
	case code == http.StatusRequestEntityTooLarge:
		return never
	case code == http.StatusBadRequest:
		return judge400(e.Message)
	default:
		return later
	}
}

func judge400(text string) verdict {
	for _, r := range rulesOf400() {
		if strings.Contains(text, r.part) {
			return r.is
		}
	}
	return never
}

// codeOf is the server's code. The library drops it from uploads; the
// description begins with the code's name.
func codeOf(e *tgbotapi.Error) int {
	if e.Code != 0 {
		return e.Code
	}
	for _, code := range []int{http.StatusBadRequest, http.StatusUnauthorized, http.StatusForbidden, http.StatusRequestEntityTooLarge, http.StatusTooManyRequests} {
		if strings.HasPrefix(e.Message, http.StatusText(code)) {
			return code
		}
	}
	return 0
}

// says is true when the server refused a call with this in its description.
func says(err error, parts ...string) bool {
	var e *tgbotapi.Error
	if !errors.As(err, &e) {
		return false
	}
	for _, part := range parts {
		if strings.Contains(e.Message, part) {
			return true
		}
	}
	return false
}

// isUnauthorised is true when the token itself is refused: no use in going on.
func isUnauthorised(err error) bool {
	var e *tgbotapi.Error
	return errors.As(err, &e) && (e.Code == http.StatusUnauthorized || e.Code == http.StatusNotFound && e.Message == "Not Found")
}

// isUnknownMethod is true when a server, as a self-hosted one of an older version,
// does not know the method.
func isUnknownMethod(err error) bool {
	var e *tgbotapi.Error
	return errors.As(err, &e) && e.Code == http.StatusNotFound
}

// isRevoked is true when a reply was refused for its token, which can end a bot that
// is pushed to: it makes no polls that would tell.
func isRevoked(err error) bool {
	var e *tgbotapi.Error
	return errors.As(err, &e) && codeOf(e) == http.StatusUnauthorized
}

// isConflict is true when another program polls with the same token, or a
// webhook is set.
func isConflict(err error) bool {
	var e *tgbotapi.Error
	return errors.As(err, &e) && e.Code == http.StatusConflict
}

// hasAnswered is true when the server itself spoke, as against a network that
// is down.
func hasAnswered(err error) bool {
	var e *tgbotapi.Error
	var a *ErrAnswer
	return errors.As(err, &e) || errors.As(err, &a)
}

// isOutage is true when no server of the Bot API is in reach that works: there was no
// answer, a proxy's page, or a fault of the server's own.
func isOutage(err error) bool {
	var e *tgbotapi.Error
	return !errors.As(err, &e) || codeOf(e) >= http.StatusInternalServerError
}

// retryAfter is how long the server asks to wait, 0 if it does not.
func retryAfter(err error) time.Duration {
	var e *tgbotapi.Error
	if errors.As(err, &e) {
		return seconds(e.RetryAfter)
	}
	var a *ErrAnswer
	if errors.As(err, &a) {
		return a.RetryAfter
	}
	return 0
}

// longestWait is the longest that a server may ask for: an outage of a season by a
// slip of somebody's clock or counter is not believed.
const longestWait = 24 * time.Hour

// seconds is a wait that the server asks for.
func seconds(n int) time.Duration {
	return time.Duration(min(max(n, 0), int(longestWait/time.Second))) * time.Second
}

// movedTo is the new number of a group that moved, 0 if it has not.
func movedTo(err error) catch.ChatID {
	var e *tgbotapi.Error
	if errors.As(err, &e) {
		return catch.ChatID(e.MigrateToChatID)
	}
	return 0
}
