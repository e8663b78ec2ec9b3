package telegram

import (
	"slices"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"
)

// The kinds of entities that can name a bot.
const (
	entityMention = "mention"
	entityCommand = "bot_command"
)

// named takes the bot's own name out of a text. Places of entities are in UTF-16
// units. mentioned is true when the text names us, other when it is a command
// that names another bot.
func (s self) named(text string, entities []tgbotapi.MessageEntity) (clean string, mentioned, other bool) {
	if len(entities) == 0 {
		entities = findNames(text)
	}
	units := utf16.Encode([]rune(text))
	for _, e := range slices.Backward(entities) {
		if e.Offset < 0 || e.Length <= 0 || e.Length > len(units) || e.Offset > len(units)-e.Length {
			continue
		}
		word := string(utf16.Decode(units[e.Offset : e.Offset+e.Length]))
		switch {
		case e.Type == entityMention && strings.EqualFold(word, "@"+s.name):
			mentioned = true
			units = slices.Delete(units, e.Offset, e.Offset+e.Length)
		case e.Type == entityCommand && e.Offset == 0:
			verb, name, named := strings.Cut(word, "@")
			if named && !strings.EqualFold(name, s.name) {
				return text, false, true
			}
			units = slices.Replace(units, 0, e.Length, utf16.Encode([]rune(verb))...)
		}
	}
	clean = string(utf16.Decode(units))
	if mentioned {
		clean = strings.TrimLeft(clean, " \t\n,:;") // "@name, red snapper 45 m"
	}
	return clean, mentioned, other
}

// findNames finds the names and the command in a text that came without
// entities: Telegram marks them, a server of another make may not. A name ends
// where its letters end: @bot is not in @bot2.
func findNames(text string) (list []tgbotapi.MessageEntity) {
	if command := 1 + wordLen(text[min(1, len(text)):]); strings.HasPrefix(text, "/") && command > 1 {
		if rest := text[command:]; strings.HasPrefix(rest, "@") {
			command += 1 + wordLen(rest[1:])
		}
		list = append(list, entity(text, entityCommand, 0, command))
	}
	for i := strings.IndexByte(text, '@'); i >= 0 && i < len(text); {
		n := 1 + wordLen(text[i+1:])
		before, _ := utf8.DecodeLastRuneInString(text[:i])
		if n > 1 && (i == 0 || !isWord(before)) {
			list = append(list, entity(text, entityMention, i, n))
		}
		next := strings.IndexByte(text[i+n:], '@')
		if next < 0 {
			break
		}
		i += n + next
	}
	return list
}

// entity marks n bytes of a text from a byte on.
func entity(text, kind string, from, n int) tgbotapi.MessageEntity {
	return tgbotapi.MessageEntity{Type: kind, Offset: utf16Len(text[:from]), Length: utf16Len(text[from : from+n])}
}

// wordLen is how many bytes of name a text begins with.
func wordLen(text string) int {
	for i, r := range text {
		if !isWord(r) {
			return i
		}
	}
	return len(text)
}

// isWord is true for the letters of a bot's name or command.
func isWord(r rune) bool {
	return r == '_' || r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z'
}
