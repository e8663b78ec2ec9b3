package telegram

import (
	"context"

	tgbotapi "github.com/go-telegram-bot-api/telegram-bot-api/v5"

	"deepward/advisor"
	"deepward/bot"
)

// listLanguages are those of the lists and descriptions; "" is for all others, in English.
// A list has no country: https://core.telegram.org/bots/api#setmycommands
var listLanguages = append([]string{""}, advisor.BaseLanguages()[1:]...)

// publishCommands tells Telegram what to list; that it fails harms nothing.
func (s *service) publishCommands(ctx context.Context) {
	api := s.with(ctx)
	for _, list := range commandLists(s.config.Commands) {
		if _, err := api.Request(list); err != nil {
			if ctx.Err() == nil {
				s.log.Info("the command list could not be set", "error", s.client.clean(err))
			}
			return
		}
	}
	s.publishDescriptions(ctx, api)
}

// publishDescriptions tells what the bot is for, in each language, to those who open it
// for the first time.
func (s *service) publishDescriptions(ctx context.Context, api *tgbotapi.BotAPI) {
	for _, language := range listLanguages {
		params := tgbotapi.Params{"description": bot.About(language)}
		params.AddNonEmpty("language_code", language)
		if _, err := api.MakeRequest("setMyDescription", params); err != nil {
			s.unknownTo(err)
			if ctx.Err() == nil {
				s.log.Info("the description could not be set", "error", s.client.clean(err))
			}
			return
		}
	}
}

// commandLists are the lists for private chats, groups and admins in English
// and the other languages. A list is for display only: it gives nobody a right.
func commandLists(all []bot.CommandInfo) []tgbotapi.SetMyCommandsConfig {
	var lists []tgbotapi.SetMyCommandsConfig
	for _, language := range listLanguages {
		add := func(scope tgbotapi.BotCommandScope, listed func(bot.CommandInfo) bool) {
			if commands := commandsFor(all, language, listed); len(commands) > 0 {
				lists = append(lists, tgbotapi.NewSetMyCommandsWithScopeAndLanguage(scope, language, commands...))
			}
		}
		add(tgbotapi.NewBotCommandScopeAllPrivateChats(), func(c bot.CommandInfo) bool { return c.Private })
		add(tgbotapi.NewBotCommandScopeAllGroupChats(), func(c bot.CommandInfo) bool { return c.Group })
		add(tgbotapi.NewBotCommandScopeAllChatAdministrators(), func(c bot.CommandInfo) bool { return c.Group || c.Admins })
	}
	return lists
}

func commandsFor(all []bot.CommandInfo, language string, listed func(bot.CommandInfo) bool) (list []tgbotapi.BotCommand) {
	for _, c := range all {
		if listed(c) {
			list = append(list, tgbotapi.BotCommand{Command: c.Name, Description: bot.Describe(c, language)})
		}
	}
	return list
}
