package telegram

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"strings"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"
)

const (
	// maxFetched is the largest file that Telegram's own server gives a bot, in bytes (Bot
	// API, getFile).
	maxFetched = 20 << 20
	// fetchTimeout is how long one may take.
	fetchTimeout = time.Minute
)

// errFetch is what kept a file that somebody sent from being brought: judged like any
// call, it is tried again where that may help.
type errFetch struct{ error }

func (e errFetch) Unwrap() error { return e.error }

// Is tells that the file is gone in the words of any other.
func (e errFetch) Is(target error) bool { return target == fs.ErrNotExist && !e.mayComeLater() }

// mayComeLater is false where the server has said that it does not have the file.
func (e errFetch) mayComeLater() bool {
	var a *ErrAnswer
	if errors.As(e.error, &a) {
		return a.Status >= http.StatusInternalServerError || a.Status == http.StatusTooManyRequests
	}
	return judge(e.error) == later && !errors.Is(e.error, errFile)
}

// fetch brings a file that somebody sent, by the server's name for it.
func (s *service) fetch(ctx context.Context, id string) ([]byte, error) {
	resp, err := s.with(ctx).MakeRequest("getFile", tgbotapi.Params{"file_id": id})
	if err != nil {
		return nil, errFetch{err}
	}
	path := filePathOf(resp)
	if path == "" {
		return nil, errFetch{fmt.Errorf("%w: the server does not say where it is", errFile)}
	}
	ctx, cancel := context.WithTimeout(ctx, fetchTimeout)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, fmt.Sprintf(fileEndpointOf(s.config.APIURL), s.config.Token.secret, path), nil)
	if err != nil {
		return nil, errFetch{s.client.clean(err)}
	}
	answer, err := s.client.http.Do(req)
	if err != nil {
		return nil, errFetch{s.client.clean(err)}
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		return nil, errFetch{&ErrAnswer{answer.StatusCode, waitOf(answer.Header)}}
	}
	data, err := io.ReadAll(io.LimitReader(answer.Body, maxFetched))
	if err != nil {
		return nil, errFetch{s.client.clean(err)}
	}
	return data, nil
}

// fileEndpointOf is the address pattern of the files of a Bot API server.
func fileEndpointOf(apiURL string) string {
	if apiURL == "" {
		return tgbotapi.FileEndpoint
	}
	return strings.TrimRight(apiURL, "/") + "/file/bot%s/%s"
}
