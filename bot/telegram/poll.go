package telegram

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/bot"
)

// batchSize is the most that one poll brings.
const batchSize = 100

const (
	// conflictTries is the step of the backoff at which two programs with one token
	// begin: they would only throw each other out.
	conflictTries = 3
	// outageTries is the step of the backoff that polls stay at while the network or
	// the server is down: whoever waits on a boat is heard within 10 s of its return.
	outageTries = 2
	// hastyPoll is a poll that came back empty though it should have waited;
	// hastyPause keeps such a server from being asked without end.
	hastyPoll  = 100 * time.Millisecond
	hastyPause = 250 * time.Millisecond
	// confirmTime is how long the last call of a stop may take.
	confirmTime = 2 * time.Second
)

// errRefused: the token is no good.
var errRefused = errors.New("the server refuses the token: check DEEPWARD_TOKEN, or make a new token")

// poll asks for updates until ctx ends. The offset moves on only after the desk
// has committed the batch, so that a crash loses nothing.
func (s *service) poll(ctx context.Context) error {
	api := s.with(ctx)
	offset, faults := 0, 0
	taken := map[int]bool{}  // beside updates that are held
	wait := time.Duration(0) // the first answers at once: it shows that polling works
	for ctx.Err() == nil {
		started := time.Now()
		done := s.vigil.begin("a poll", pollTimeout+stuckSlack)
		raws, err := fetch(api, offset, wait)
		done()
		if err != nil {
			if err = s.pollFault(ctx, err, &faults); err != nil {
				return err
			}
			continue
		}
		held, err := s.takeHeld(ctx, raws, taken)
		if ctx.Err() != nil && (err != nil || held) {
			break // they come again after the restart
		} else if errors.Is(err, bot.ErrCommonFault) {
			return err
		} else if err != nil {
			s.log.Error("updates could not be kept; they will come again", "error", err)
			sleep(ctx, s.backoff(faults))
			faults++
			continue
		}
		faults = 0
		if held { // not confirmed, so they come again with what is new
			wait = 0
			continue
		}
		clear(taken)
		s.meters.polled(s.now())
		s.sender.Reached(true)
		next := nextOffset(raws, offset)
		if len(raws) > 0 && next == offset || len(raws) == 0 && wait > 0 && time.Since(started) < hastyPoll {
			sleep(ctx, hastyPause)
		}
		offset, wait = next, pollWait
	}
	s.confirm(offset)
	return nil
}

// heldPoll is how long a poll is put off for updates that are held. Sooner, the server
// would bring one update at a time.
const heldPoll = 600 * time.Millisecond

// takeHeld takes updates and waits for those that are held until the next poll is due.
func (s *service) takeHeld(ctx context.Context, raws []json.RawMessage, taken map[int]bool) (held bool, err error) {
	for until := time.Now().Add(heldPoll); ; {
		held, err = s.take(ctx, raws, taken)
		if err != nil || !held || time.Now().After(until) || !sleep(ctx, heldPause) {
			return held, err
		}
	}
}

// fetch makes one poll and returns the updates unread.
func fetch(api *tgbotapi.BotAPI, offset int, wait time.Duration) ([]json.RawMessage, error) {
	params := tgbotapi.Params{}
	params.AddNonZero("offset", offset)
	params.AddNonZero("limit", batchSize)
	params.AddNonZero("timeout", int(wait.Seconds()))
	if err := params.AddInterface("allowed_updates", allowedUpdates()); err != nil {
		return nil, err
	}
	resp, err := api.MakeRequest("getUpdates", params)
	if err != nil {
		return nil, err
	}
	var raws []json.RawMessage
	if err := json.Unmarshal(resp.Result, &raws); err != nil {
		return nil, fmt.Errorf("reading a batch: %w", err)
	}
	return raws, nil
}

// nextOffset confirms a batch: one more than the number of its last update. The
// last, not the greatest: after a week without updates the numbers start anew,
// lower perhaps. An update without a number stands where the next would. After an
// empty poll all is confirmed, and 0 takes whatever comes.
func nextOffset(raws []json.RawMessage, offset int) int {
	if len(raws) == 0 {
		return 0
	}
	for i, raw := range slices.Backward(raws) {
		if id := updateID(raw); id > 0 {
			return id + len(raws) - i
		}
	}
	return offset + len(raws)
}

// updateID reads the number of an update whatever else is in it, 0 if it has none.
func updateID(raw json.RawMessage) int {
	var u struct {
		ID int `json:"update_id"`
	}
	_ = json.Unmarshal(raw, &u)
	return u.ID
}

// pollFault waits as the fault of a poll asks for; an error means that there is
// no use in going on.
func (s *service) pollFault(ctx context.Context, err error, faults *int) error {
	if ctx.Err() != nil {
		return nil // the stop broke the poll off
	}
	s.meters.pollFailed()
	s.sender.Reached(false)
	switch {
	case isUnauthorised(err):
		return errRefused
	case isConflict(err) && says(err, "webhook"):
		s.log.Warn("a webhook was set for this token; taking it away to poll")
		if _, err := s.with(ctx).MakeRequest("deleteWebhook", nil); err == nil {
			return nil
		}
	case isConflict(err):
		s.log.Warn("another program polls with this token; stop it, or give this one a token of its own")
		*faults = max(*faults, conflictTries)
	}
	wait := s.waitToPoll(err, *faults)
	s.log.Warn("no updates for now", "error", err, "again_in", wait)
	*faults++
	sleep(ctx, wait)
	return nil
}

// confirm tells the server what was taken last, so that a restart does not get
// it again. It is a courtesy: the desk knows what it has seen.
func (s *service) confirm(offset int) {
	if offset == 0 {
		return
	}
	ctx, cancel := context.WithTimeout(s.ctx, confirmTime)
	defer cancel()
	params := tgbotapi.Params{"offset": fmt.Sprint(offset), "limit": "1", "timeout": "0"}
	if _, err := s.with(ctx).MakeRequest("getUpdates", params); err != nil {
		s.log.Info("the last updates were not confirmed; they will come again and be known", "error", err)
	}
}
