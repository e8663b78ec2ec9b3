package telegram

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/bot"
	"deepward/bot/words"
)

// maxFile is the largest file that Telegram's own server takes from a bot.
const maxFile = 50 << 20

// errFile: the file itself cannot be sent, however often it is tried.
var errFile = errors.New("the file is no good")

// file makes the file and uploads it, with the text as its caption or after it. A
// file that cannot be made or sent is told in words.
func (s caller) file(ctx context.Context, r bot.Reply) (id int, follow []bot.Reply, err error) {
	wanted := *r.Attach
	wanted.Fetch = s.fetch
	f, err := s.desk.Make(ctx, wanted)
	var missed errFetch
	switch {
	case errors.As(err, &missed) && missed.mayComeLater():
		return 0, nil, missed.error
	case missed.error != nil:
		return 0, s.noFile(r, "file.not_fetched", err), nil
	case err != nil:
		return 0, s.noFile(r, "file.not_made", err), nil
	}
	defer f.Done()
	if f.Caption != "" {
		r.Text = f.Caption
	}
	if f.Name == "" { // nothing but words came of it
		r.Attach = nil
		if len(f.Buttons) > 0 {
			r.Buttons = f.Buttons
		}
		return 0, pieces(r), nil
	}
	params := s.target(r)
	if r.Text != "" && utf16Len(r.Text) <= maxCaption {
		params["caption"], params["parse_mode"] = markup(r.Text, r.Headline), tgbotapi.ModeHTML
	}
	id, err = s.upload(r, params, f)
	switch {
	case topicShut(err):
		return 0, elsewhere(r), nil
	case r.Attach.Photo && judge(err) == never:
		r.Attach = &bot.Attachment{Kind: r.Attach.Kind, Args: r.Attach.Args} // too wide or too tall for a picture
		return 0, []bot.Reply{r}, nil
	case r.Attach.Photo && r.Text != "" && judge(err) == later && retryAfter(err) == 0:
		s.log.Warn("a picture could not be sent; its words go without it", "kind", r.Attach.Kind, "error", s.client.clean(err))
		r.Attach = nil
		return 0, pieces(r), nil
	case errors.Is(err, errFile) || judge(err) == never:
		return 0, s.noFile(r, "file.not_sent", err), nil
	case err == nil && params["caption"] == "":
		r.Attach, r.Buttons, r.ReplyTo = nil, nil, 0
		return id, pieces(r), nil
	}
	return id, nil, err
}

// noFile says in words that there is no file. What went wrong is for the log: it
// may name a place on this machine.
func (s *service) noFile(r bot.Reply, why string, err error) []bot.Reply {
	s.log.Error("a file could not be made or sent", "why", why, "kind", r.Attach.Kind, "error", s.client.clean(err))
	r.Attach = nil
	r.Text = strings.TrimSpace(r.Text + "\n\n" + words.For(r.Language, false).Say(why))
	return pieces(r)
}

// upload sends a file under its own name, never under its path.
func (s caller) upload(r bot.Reply, params tgbotapi.Params, f bot.File) (int, error) {
	method, field := "sendDocument", "document"
	if r.Attach.Photo {
		method, field = "sendPhoto", "photo"
	}
	if err := s.addMarkup(params, r); err != nil {
		return 0, err
	}
	name := filepath.Base(f.Name)
	if id, _ := s.uploaded.get(contentOf(f), s.now()); id != "" && r.Attach.Photo && f.Path == "" {
		params[field] = id
		n, err := s.call(method, params)
		if judge(err) != never {
			return n, err
		}
		delete(params, field) // the server does not have it any more
	}
	var data tgbotapi.RequestFileData = tgbotapi.FileBytes{Name: name, Bytes: f.Data}
	size := int64(len(f.Data))
	if f.Path != "" {
		in, err := os.Open(f.Path)
		if err != nil {
			return 0, fmt.Errorf("%w: %w", errFile, err)
		}
		defer in.Close()
		info, err := in.Stat()
		if err != nil {
			return 0, fmt.Errorf("%w: %w", errFile, err)
		}
		data, size = tgbotapi.FileReader{Name: name, Reader: in}, info.Size()
	}
	if size > maxFile {
		return 0, fmt.Errorf("%w: %d bytes are too many", errFile, size)
	}
	resp, err := s.api.UploadFiles(method, params, []tgbotapi.RequestFile{{Name: field, Data: data}})
	if err != nil {
		return 0, err
	}
	if r.Attach.Photo && f.Path == "" {
		s.uploaded.put(contentOf(f), fileIDOf(resp), s.now().Add(uploadedFor), uploads)
	}
	return numberOf(resp), nil
}

// The pictures of lessons are the same for all: the server keeps what it was sent, and
// takes its name for it instead of another upload.
const (
	uploadedFor = 24 * time.Hour
	uploads     = 100
)

// contentOf names a picture by what is in it.
func contentOf(f bot.File) [sha256.Size]byte { return sha256.Sum256(f.Data) }

// fileIDOf is the name under which the server keeps the picture of a message, in its
// largest size.
func fileIDOf(resp *tgbotapi.APIResponse) string {
	var m struct {
		Photo []struct {
			ID string `json:"file_id"`
		} `json:"photo"`
	}
	if json.Unmarshal(resp.Result, &m) != nil || len(m.Photo) == 0 {
		return ""
	}
	return m.Photo[len(m.Photo)-1].ID
}

// filePathOf is where the server keeps a file that it was asked for.
func filePathOf(resp *tgbotapi.APIResponse) string {
	var f struct {
		Path string `json:"file_path"`
	}
	_ = json.Unmarshal(resp.Result, &f)
	return f.Path
}
