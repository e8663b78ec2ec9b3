package main

import (
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/telegram/standin"
	"deepward/store"
)

// checked runs serve --check against a stand-in.
func checked(t *testing.T, api *standin.Server, args ...string) (code int, out string) {
	t.Helper()
	t.Setenv("DEEPWARD_TOKEN", standin.Token)
	code, out, errs := command(t, "", append([]string{"serve", "--check", "--api-url", api.URL, "--health", ""}, args...)...)
	assert.NotContains(t, out+errs, "stand-in-token")
	if code == exitFailed {
		assert.Contains(t, errs, "begin with !")
		assert.Equal(t, 1, strings.Count(errs, "\n"))
	}
	return code, out
}

func TestCheckSaysWhatItFound(t *testing.T) {
	api := standin.New()
	defer api.Close()
	place := where(t)
	code, out := checked(t, api, place...)
	assert.Equal(t, exitDone, code, out)
	assert.Contains(t, out, "@"+standin.Name+", valid")
	assert.Contains(t, out, "privacy mode is on")
	assert.Contains(t, out, "polled; no webhook is set")
	assert.Contains(t, out, "the first start makes it")
	assert.NoFileExists(t, place[1], "a check makes nothing")
	assert.NoFileExists(t, place[3])

	s, err := store.Open(place[1], store.Options{KeyFile: place[3]})
	require.NoError(t, err)
	_, out = checked(t, api, place...)
	assert.Contains(t, out, "! store", "in use")
	require.NoError(t, s.Close())
	before, err := os.ReadFile(place[1])
	require.NoError(t, err)
	code, out = checked(t, api, place...)
	assert.Equal(t, exitDone, code, out)
	assert.Contains(t, out, "is sound: 0 reports, 0 replies wait")
	assert.Contains(t, out, "fits the store")
	after, err := os.ReadFile(place[1])
	require.NoError(t, err)
	assert.Equal(t, before, after, "a check changes nothing")
}

func TestCheckSaysWhatStandsInTheWay(t *testing.T) {
	api := standin.New()
	defer api.Close()
	busy, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer busy.Close()
	foreign := written(t, "letter.db", strings.Repeat("Dear Ada, ", 5000), 0o600)
	for name, c := range map[string]struct {
		args []string
		want string
	}{
		"foreign file":    {[]string{"--db", foreign, "--key-file", written(t, "key", strings.Repeat("0", 32), 0o600)}, "not a deepward store"},
		"address in use":  {append(where(t), "--health", busy.Addr().String()), "choose another address"},
		"no backup place": {append(where(t), "--backup-dir", foreign), "is no folder"},
		"server away":     {append(where(t), "--api-url", "http://127.0.0.1:1"), "out of reach"},
		"open token":      {append(where(t), "--token-file", written(t, "token", standin.Token, 0o644)), "chmod 600"},
		"no certificate":  {append(where(t), "--webhook-url", "https://a.example/x", "--webhook-cert", foreign, "--webhook-key", foreign), "! tls"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Setenv("DEEPWARD_WEBHOOK_SECRET", "abc")
			code, out := checked(t, api, c.args...)
			assert.Equal(t, exitFailed, code)
			assert.Contains(t, out, "! ")
			assert.Contains(t, out, c.want)
		})
	}
	api.Spoil(standin.Says(401, "Unauthorized", nil))
	code, out := checked(t, api, where(t)...)
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, out, "refuses the token")
}

func TestCheckKnowsTheWebhook(t *testing.T) {
	api := standin.New()
	defer api.Close()
	api.Spoil(standin.On("getWebhookInfo", standin.Body(`{"ok":true,"result":{"url":"https://bot.example/`+standin.Token+`","pending_update_count":3,"last_error_message":"Wrong response"}}`)))
	code, out := checked(t, api, where(t)...)
	assert.Equal(t, exitDone, code, "serve takes it away")
	assert.Contains(t, out, "the webhook at bot.example is taken away at the start; 3 updates wait; the last push failed: Wrong response")
	api.Spoil(standin.On("getWebhookInfo", standin.Says(404, "Not Found", nil)))
	code, out = checked(t, api, where(t)...)
	assert.Equal(t, exitDone, code, "a server of another make may not tell")
	assert.Contains(t, out, "does not tell")
}

func TestTokenComesFromTheEnvironmentOrAFile(t *testing.T) {
	file := written(t, "token", standin.Token+"\n", 0o600)
	for name, c := range map[string]struct {
		token, file string
		want        string // of the error, "" for none
	}{
		"environment": {standin.Token, "", ""},
		"file":        {"", file, ""},
		"both":        {standin.Token, filepath.Join(t.TempDir(), "none"), ""},
		"none":        {"", "", "DEEPWARD_TOKEN_FILE"},
		"no file":     {"", file + "x", "no such file"},
		"no token":    {"hello", "", "no bot token"},
		"empty file":  {"", written(t, "empty", "\n", 0o600), "no bot token"},
		"huge file":   {"", written(t, "huge", strings.Repeat("1", 1<<20), 0o600), "no bot token"},
	} {
		t.Setenv("DEEPWARD_TOKEN", c.token)
		_, s, err := serveCmd{TokenFile: c.file}.token()
		if c.want != "" {
			assert.ErrorContains(t, err, c.want, name)
			continue
		}
		require.NoError(t, err, name)
		assert.Equal(t, standin.Token, s.text, name)
		assert.False(t, s.open)
	}
}
