package telegram

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/bot"
)

// batchSize is the most that one poll brings.
const batchSize = 100

// How long to wait after a poll that failed.
const (
	firstBackoff    = time.Second
	longestBackoff  = time.Minute
	conflictBackoff = 10 * time.Second
)

// poll asks for updates until ctx ends. The offset moves on only after the desk
// has committed the batch, so that a crash loses nothing.
func (s *service) poll(ctx context.Context) error {
	offset, backoff := 0, firstBackoff
	for ctx.Err() == nil {
		raws, err := s.fetch(offset, pollWait)
		if err != nil {
			if wait, fatal := s.pollFault(err, backoff); fatal != nil {
				return fatal
			} else if !sleep(ctx, wait) {
				break
			}
			backoff = min(2*backoff, longestBackoff)
			continue
		}
		backoff = firstBackoff
		s.meters.polled(s.now())
		next, err := s.take(ctx, raws)
		if err != nil {
			s.log.Error("updates could not be kept; they will come again", "error", err)
			sleep(ctx, firstBackoff)
			continue
		}
		offset = max(next, 0)
		if len(raws) == 0 {
			offset = 0 // after a quiet week the numbers start anew
		}
	}
	s.confirm(offset)
	return nil
}

// fetch makes one poll and returns the updates unread.
func (s *service) fetch(offset int, wait time.Duration) ([]json.RawMessage, error) {
	params := tgbotapi.Params{}
	params.AddNonZero("offset", offset)
	params.AddNonZero("limit", batchSize)
	params.AddNonZero("timeout", int(wait.Seconds()))
	if err := params.AddInterface("allowed_updates", allowedUpdates); err != nil {
		return nil, err
	}
	resp, err := s.api.MakeRequest("getUpdates", params)
	if err != nil {
		return nil, err
	}
	var raws []json.RawMessage
	if err := json.Unmarshal(resp.Result, &raws); err != nil {
		return nil, fmt.Errorf("reading a batch: %w", err)
	}
	return raws, nil
}

// take decodes each update by itself, hands what concerns the bot to the desk,
// and returns the next offset. An update that cannot be read is set aside: it
// must not keep the others waiting for ever.
func (s *service) take(ctx context.Context, raws []json.RawMessage) (next int, err error) {
	var batch []bot.Message
	for _, raw := range raws {
		id := updateID(raw)
		next = max(next, id+1)
		m, ok, err := s.self.decode(raw, s.now())
		if err != nil {
			s.log.Warn("update set aside: it cannot be read", "update", id, "error", err)
			s.meters.update("unreadable")
			continue
		}
		if !ok {
			s.meters.update("ignored")
			continue
		}
		s.meters.update("taken")
		s.fillRole(ctx, &m)
		batch = append(batch, m)
	}
	if len(batch) == 0 {
		return next, nil
	}
	sendings, err := s.desk.Take(context.WithoutCancel(ctx), batch)
	if err != nil {
		return 0, err
	}
	s.sender.enqueue(sendings)
	return next, nil
}

// updateID reads the number of an update whatever else is in it.
func updateID(raw json.RawMessage) int {
	var u struct {
		ID int `json:"update_id"`
	}
	_ = json.Unmarshal(raw, &u)
	return u.ID
}

// pollFault says how long to wait after a failed poll, or that there is no use.
func (s *service) pollFault(err error, backoff time.Duration) (wait time.Duration, fatal error) {
	s.meters.pollFailed()
	switch {
	case errors.Is(err, context.Canceled):
		return 0, nil
	case isUnauthorised(err):
		return 0, errors.New("the server refuses the token: check DEEPWARD_TOKEN, or make a new token")
	case isConflict(err):
		s.log.Warn("another program polls with this token; stop it, or give this one a token of its own")
		return conflictBackoff, nil
	}
	s.log.Warn("no updates for now", "error", err, "again_in", backoff)
	return max(backoff, retryAfter(err)), nil
}

// confirm tells the server what was taken last, so that a restart does not get
// it again. It is a courtesy: the desk knows what it has seen.
func (s *service) confirm(offset int) {
	if offset == 0 {
		return
	}
	ctx, cancel := context.WithTimeout(context.WithoutCancel(s.ctx), 3*time.Second)
	defer cancel()
	params := tgbotapi.Params{"offset": fmt.Sprint(offset), "limit": "1", "timeout": "0"}
	api := *s.api
	api.Client = s.client.during(ctx)
	if _, err := api.MakeRequest("getUpdates", params); err != nil {
		s.log.Info("the last updates were not confirmed; they will come again and be known", "error", err)
	}
}

// sleep waits, and reports whether ctx still runs.
func sleep(ctx context.Context, d time.Duration) bool {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-ctx.Done():
		return false
	case <-t.C:
		return true
	}
}
