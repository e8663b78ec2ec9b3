package telegram

import (
	"html"
	"strings"
	"unicode/utf16"

	"deepward/bot"
)

// The limits of messages. Telegram counts characters; UTF-16 units are never
// fewer.
const (
	maxText    = 4096
	maxCaption = 1024
	maxNotice  = 200
)

// markup escapes a text and makes its first line bold when it is a headline.
func markup(text string, headline bool) string {
	if !headline {
		return html.EscapeString(text)
	}
	head, rest, more := strings.Cut(text, "\n")
	out := "<b>" + html.EscapeString(head) + "</b>"
	if more {
		out += "\n" + html.EscapeString(rest)
	}
	return out
}

// pieces cuts a long reply into several at line ends. Only the first replaces a
// message and has the headline, only the last carries the buttons.
func pieces(r bot.Reply) []bot.Reply {
	var list []bot.Reply
	for _, text := range split(r.Text, maxText) {
		p := r
		p.Text = text
		if len(list) > 0 {
			p.Edit, p.Headline = 0, false
		}
		list = append(list, p)
	}
	for i := range list[:max(0, len(list)-1)] {
		list[i].Buttons = nil
	}
	return list
}

// split cuts a text at line ends into parts of at most so many UTF-16 units;
// blank parts, which the server refuses, are left out.
func split(text string, most int) (parts []string) {
	for text != "" {
		head := cut(text, most)
		if len(head) < len(text) {
			if i := strings.LastIndexByte(head, '\n'); i > 0 {
				head = head[:i]
			}
		}
		if strings.TrimSpace(head) != "" {
			parts = append(parts, head)
		}
		text = strings.TrimPrefix(text[len(head):], "\n")
	}
	return parts
}

// cut keeps the first so many UTF-16 units of a text.
func cut(text string, most int) string {
	if len(text) <= most { // never more units than bytes
		return text
	}
	n := 0
	for i, r := range text {
		if n += utf16.RuneLen(r); n > most {
			return text[:i]
		}
	}
	return text
}

// utf16Len counts the UTF-16 units of a text.
func utf16Len(text string) (n int) {
	for _, r := range text {
		n += utf16.RuneLen(r)
	}
	return n
}
