package telegram

import (
	"html"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"deepward/bot"
)

// Trap: the library's escape leaves things unescaped or returns nothing.
func TestMarkupEscapesEverything(t *testing.T) {
	assert.Equal(t, "<b>a &lt;b&gt; &amp; &#34;c&#34;</b>\nd &lt;i&gt;", markup("a <b> & \"c\"\nd <i>", true))
	assert.Equal(t, "a &lt;b&gt;\nd", markup("a <b>\nd", false))
	assert.Equal(t, "<b>one line</b>", markup("one line", true))
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		assert.Equal(t, text, html.UnescapeString(markup(text, false)))
		assert.NotContains(t, markup(text, false), "<")
	})
}

func TestSplitLosesNothingButLineEnds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.SampledFrom([]rune("ab \n🐟é"))).Draw(t, "text")
		most := rapid.IntRange(2, 12).Draw(t, "most")
		parts := split(text, most)
		for _, p := range parts {
			assert.LessOrEqual(t, utf16Len(p), most)
			assert.NotEmpty(t, strings.TrimSpace(p))
		}
		bare := func(s string) string { return strings.NewReplacer("\n", "", " ", "").Replace(s) }
		assert.Equal(t, bare(text), bare(strings.Join(parts, "")))
	})
}

func TestSplitCutsAtLineEnds(t *testing.T) {
	assert.Equal(t, []string{"aaaa", "bbbb", "cc"}, split("aaaa\nbbbb\ncc", 6))
	assert.Equal(t, []string{"aaaaaa", "aa"}, split("aaaaaaaa", 6))
	assert.Equal(t, []string{"🐟🐟", "🐟"}, split("🐟🐟🐟", 5), "no character is cut")
	assert.Empty(t, split("\n \n", 2))
	assert.Empty(t, split("", 2))
}

func TestPiecesOfALongReply(t *testing.T) {
	r := bot.Reply{Chat: 7, Headline: true, Edit: 3, Text: strings.Repeat("line\n", 2000), Buttons: [][]bot.Button{{{Label: "a", Data: "b"}}}}
	list := pieces(r)
	assert.Len(t, list, 3)
	for i, p := range list {
		assert.Equal(t, i == 0, p.Headline)
		assert.Equal(t, i == 0, p.Edit == 3, "only the first replaces the message")
		assert.Equal(t, i == 2, len(p.Buttons) == 1, "buttons under the last")
	}
}
