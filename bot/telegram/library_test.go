package telegram

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/telegram/standin"
)

// leftAlone are the parts of the library that this package has of its own or does
// without, each for a trap in it.
var leftAlone = map[string]string{
	"GetUpdatesChan":                "stalls at one bad update, confirms before handling, drops numbers that start anew, cannot be stopped in a poll",
	"GetUpdates":                    "reads a batch all or nothing",
	"StopReceivingUpdates":          "panics the second time, and the object polls no more",
	"ListenForWebhook":              "takes over the program's own handlers, answers before the update is kept, checks no secret",
	"ListenForWebhookRespReqFormat": "the same",
	"HandleUpdate":                  "reads a body without end",
	"NewWebhook":                    "has no secret",
	"WebhookConfig":                 "has no secret",
	"GetFileDirectURL":              "gives out the token, and ignores a server of one's own",
	"Link":                          "gives out the token, and ignores a server of one's own",
	"FromChat":                      "panics on a tap under an inline answer",
	"SentFrom":                      "knows few kinds of updates",
	"IsCommand":                     "looks at texts only",
	"Command":                       "takes a command to another bot for ours",
	"CommandWithAt":                 "panics on an entity that is longer than the text",
	"CommandArguments":              "cuts characters apart",
	"IsMessageToMe":                 "takes a longer name for ours",
	"EscapeText":                    "leaves characters as they are, or returns nothing",
	"FilePath":                      "tells the place on this machine",
	"NewDocument":                   "sends thumbnails by a name that is no more, and knows no topics",
	"NewPhoto":                      "sends thumbnails by a name that is no more, and knows no topics",
	"NewMessage":                    "knows no topics",
	"BaseChat":                      "knows no topics",
	"InlineConfig":                  "leaves zeros away",
}

func TestTrapsOfTheLibraryAreNotCalled(t *testing.T) {
	paths, err := filepath.Glob("*.go")
	require.NoError(t, err)
	paths = slices.DeleteFunc(paths, func(p string) bool { return strings.HasSuffix(p, "_test.go") })
	require.NotEmpty(t, paths)
	files := token.NewFileSet()
	for _, path := range paths {
		file, err := parser.ParseFile(files, path, nil, 0)
		require.NoError(t, err)
		ast.Inspect(file, func(n ast.Node) bool {
			if s, ok := n.(*ast.SelectorExpr); ok {
				if why, bad := leftAlone[s.Sel.Name]; bad {
					t.Errorf("%s: %s: %s", files.Position(s.Pos()), s.Sel.Name, why)
				}
			}
			return true
		})
	}
}

// Trap: the library's webhook registers itself for the whole program, so that a
// second one panics, and it would answer on every address of the program.
func TestTwoWebhooksInOneProgram(t *testing.T) {
	for range 2 {
		desk := &echoDesk{}
		api, c, stop := hooked(t, desk)
		api.Say(7, 7, "a")
		require.Len(t, api.Await(1, 5*time.Second), 1)
		for _, path := range []string{"/hook", "/healthz", "/metrics"} {
			_, pattern := http.DefaultServeMux.Handler(httptest.NewRequest("POST", path, nil))
			assert.Empty(t, pattern)
		}
		assert.Equal(t, http.StatusOK, get(t, "http://"+c.Health+"/healthz"))
		defer func() { require.NoError(t, stop()) }()
	}
}

// Trap: a goroutine of the library writes an upload into a pipe. When the server
// answers before it has read all, as it does to what is too large, that goroutine
// must end too; the bubble fails if it does not.
func TestUploadAnsweredBeforeItWasReadLeavesNothingBehind(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		api := calling(t, Config{Transport: roundTrip(func(*http.Request) (*http.Response, error) {
			return &http.Response{StatusCode: 413, Body: io.NopCloser(strings.NewReader("<html>too large</html>"))}, nil
		})})
		big := tgbotapi.FileReader{Name: "a", Reader: bytes.NewReader(make([]byte, 1<<20))}
		_, err := api.UploadFiles("sendDocument", nil, []tgbotapi.RequestFile{{Name: "document", Data: big}})
		assert.Equal(t, never, judge(err))
	})
}

// Trap: uploads lose the server's code; what comes beside it is kept, so that a
// file follows its group, and waits as long as it is told to.
func TestFileFollowsItsGroupAndWaits(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.MovedSilently(-100, -1009)
		t.api.Spoil(standin.On("sendDocument", standin.Times(1, standin.Flood(300))))
		t.api.Say(-100, 7, "x")
		time.Sleep(4 * time.Minute)
		assert.Empty(t, t.api.Calls())
		time.Sleep(2 * time.Minute)
		calls := t.api.Calls()
		require.Len(t, calls, 1)
		assert.EqualValues(t, -1009, calls[0].Chat)
		assert.Equal(t, "log", string(calls[0].Data))
		assert.Zero(t, t.desk.waiting())
	}, replying(bot.Reply{Chat: -100, Attach: &bot.Attachment{Kind: bot.FileExport}}), func(_ *Config, t *serving) {
		t.desk.file = func(bot.Attachment) (bot.File, error) { return bot.File{Name: "log.csv", Data: []byte("log")}, nil }
	})
}

// Trap: the library's own documents send a thumbnail by a name that is no more.
// What we send has only fields that the server knows.
func TestFieldsOfAnUpload(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Say(7, 7, "x")
		c := t.api.Await(1, time.Minute)[0]
		var fields []string
		for name := range c.Params {
			fields = append(fields, name)
		}
		assert.Subset(t, []string{"chat_id", "message_thread_id", "reply_parameters", "caption", "parse_mode", "reply_markup"}, fields)
	}, replying(bot.Reply{Chat: 7, Thread: 3, ReplyTo: 5, Text: "words", Attach: &bot.Attachment{Kind: bot.FileExport}}), func(_ *Config, t *serving) {
		t.desk.file = func(bot.Attachment) (bot.File, error) { return bot.File{Name: "log.csv", Data: []byte("log")}, nil }
	})
}

// The server takes a list of commands whole or not at all: names of 1 to 32 small
// letters, digits and underscores, descriptions of 1 to 256 characters, 100 at most.
func TestCommandListsAreWhatTheServerTakes(t *testing.T) {
	lists := commandLists(bot.Commands)
	scopes := map[string]bool{}
	for _, list := range lists {
		scopes[list.Scope.Type+" "+list.LanguageCode] = true
		assert.LessOrEqual(t, len(list.Commands), 100)
		for _, c := range list.Commands {
			assert.Regexp(t, `^[a-z0-9_]{1,32}$`, c.Command)
			n := utf16Len(c.Description)
			assert.True(t, n >= 1 && n <= 256, "%s in %q: %d characters", c.Command, list.LanguageCode, n)
			assert.NotContains(t, c.Description, "about.", "a sentence that is not there")
		}
	}
	assert.Len(t, scopes, 12, "three scopes in four languages")
	assert.Contains(t, scopes, "all_chat_administrators fr")
	var set *counter
	inBubble(t, func(t *serving) {
		time.Sleep(time.Second)
		assert.Len(t, set.all(), len(lists))
	}, func(c *Config, t *serving) { c.Commands, set = bot.Commands, countMethod(t, "setMyCommands") })
}
