package main

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
)

func TestATalkInJSONHasTheTextOfWhatIsMadeWhenItIsSent(t *testing.T) {
	code, out, errs := command(t, `{"talk":"a","from":"Ana","say":"log gag 40 m 3 kg sent down 20 oz"}
{"talk":"a","from":"Ana","say":"summary"}
{"talk":"a","from":"Ana","say":"my letter"}
`, "chat", "--json")
	require.Equal(t, exitDone, code, errs)
	var replies []string
	for line := range strings.Lines(out) {
		var h bot.Heard
		require.NoError(t, json.Unmarshal([]byte(line), &h), line)
		replies = append(replies, h.Reply)
	}
	require.Len(t, replies, 3)
	assert.Contains(t, replies[0], "Gag")
	assert.Contains(t, replies[1], "1 fish in the log")
	assert.Contains(t, replies[2], "sent back down: 1")
}
