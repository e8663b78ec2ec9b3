package bot_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/store/catch"
)

// link is what the button under the hello in the group hands to /start.
func (k *talk) link() string {
	k.t.Helper()
	m := k.message(ada, club, "")
	m.Event = bot.EventAdded
	hello := only(k.t, k.take(m))
	require.Len(k.t, hello.Buttons, 1)
	return hello.Buttons[0][0].Start
}

// A member who never wrote in the group comes in by the button of the hello, and what
// the club has set holds in private from then on.
func TestMemberJoinsFromPrivateByTheLinkOfTheHello(t *testing.T) {
	k := newTalk(t)
	link := k.link()
	assert.Regexp(t, `^[A-Za-z0-9_-]{8,64}$`, link, "what the server takes as a start parameter")
	k.tell(ada, "/setup weights 8 16 oz")
	k.tell(ada, "/setup language fr")
	k.tell(ada, "/rule gag; 61 cm; one a day; harbour office; 2026-05-01")
	told := only(t, k.say(bruno, "/start "+link))
	for _, want := range []string{"You are in " + club.Title, "8 and 16 oz", "Français", "harbour office", "metres"} {
		assert.Contains(t, told.Text, want)
	}
	assert.Contains(t, only(t, k.say(bruno, "gag 40 m 5 kg")).Text, "16 + 8 oz together", "the club's weights")
}

func TestNobodyComesInByGuessingOrWithoutBeingAMember(t *testing.T) {
	k := newTalk(t)
	link := k.link()
	code := strings.LastIndex(link, "-")
	for _, forged := range []string{"club-1", "club-1-", link[:code+1] + "abc", "club-2" + link[code:], "club-99999-x"} {
		assert.Contains(t, only(t, k.say(bruno, "/start "+forged)).Text, "does not work", forged)
	}
	k.left = map[catch.PersonID]bool{bruno.ID: true}
	assert.Contains(t, only(t, k.say(bruno, "/start "+link)).Text, "not in that group")
	k.left, k.silent = nil, true
	assert.Contains(t, only(t, k.say(bruno, "/start "+link)).Text, "could not check")
	assert.NotContains(t, only(t, k.say(bruno, "/settings")).Text, club.Title)
}

// Who is in a club already is shown it, and not told that there is none.
func TestJoinShowsAMemberTheirClub(t *testing.T) {
	k := newTalk(t)
	assert.Contains(t, only(t, k.say(bruno, "/join")).Text, "no group of yours")
	k.say(bruno, "/start "+k.link())
	in := only(t, k.say(bruno, "/join"))
	assert.Contains(t, in.Text, "You are in "+club.Title)
	assert.Len(t, in.Buttons, 2, "to count and to leave")
	k.left = map[catch.PersonID]bool{bruno.ID: true}
	assert.Contains(t, only(t, k.say(bruno, "/join")).Text, "not in that group")
}

// Once said, each report from private counts in the club's log without a post; share
// tells it there once.
func TestReportsFromPrivateCountForTheClubOnceThatIsSaid(t *testing.T) {
	k := newTalk(t)
	in := only(t, k.say(bruno, "/start "+k.link()))
	k.tell(ada, "/season new Spring 2026-01-01 2026-12-31")
	k.say(bruno, "log gag 40 m 52 cm sent down 40 oz swam off")
	assert.Zero(t, k.reports()[0].Club, "not before it is said")
	k.tap(bruno, private(bruno), in, "Count my reports")
	kept := k.say(bruno, "log gag 41 m 52 cm sent down 40 oz swam off")
	for _, r := range kept {
		assert.NotEqual(t, club.ID, r.Chat, "no post in the group")
	}
	assert.Contains(t, only(t, kept).Text, "Counts for "+club.Title)
	r := k.reports()[1]
	assert.NotZero(t, r.Club)
	assert.NotEmpty(t, r.Season, "of the club's season")
	shared := k.tap(bruno, private(bruno), only(t, kept), "Share")
	assert.True(t, posted(shared))
	assert.False(t, posted(k.tap(bruno, private(bruno), only(t, kept), "Share")), "once")
	k.tap(bruno, private(bruno), in, "Count my reports") // an old button, tapped again
	settings := only(t, k.say(bruno, "/settings"))
	assert.Contains(t, settings.Text, "count for it: yes")
	k.tap(bruno, private(bruno), settings, "Stop counting")
	k.say(bruno, "log gag 42 m 52 cm sent down 40 oz swam off")
	assert.Zero(t, k.reports()[2].Club)
}

func posted(replies []delivered) bool {
	for _, r := range replies {
		if r.Chat == club.ID && r.Text != "" {
			return true
		}
	}
	return false
}

func TestLeavingIsOneTapAndEndsTheCounting(t *testing.T) {
	k := newTalk(t)
	in := only(t, k.say(bruno, "/start "+k.link()))
	k.tap(bruno, private(bruno), in, "Count my reports")
	k.tap(bruno, private(bruno), in, "Leave the club")
	k.say(bruno, "log gag 42 m 52 cm sent down 40 oz swam off")
	assert.Zero(t, k.reports()[0].Club)
	assert.NotContains(t, only(t, k.say(bruno, "/settings")).Text, club.Title)
	notice := k.tap(bruno, private(bruno), in, "Count my reports")
	assert.Contains(t, notice[0].Text, "somebody else", "no club to count for")
}

// Who is a member without having written in the group is offered the club; nobody is
// told of a group that the server does not say they are in.
func TestMemberWhoNeverWroteIsOfferedTheClub(t *testing.T) {
	k := newTalk(t)
	k.link()
	hello := only(t, k.say(bruno, "/start"))
	joined := k.tap(bruno, private(bruno), hello, "Join "+club.Title)
	assert.Contains(t, joined[len(joined)-1].Text, "You are in "+club.Title)
	k.left = map[catch.PersonID]bool{cleo.ID: true}
	assert.NotContains(t, labelsOf(only(t, k.say(cleo, "/start"))), club.Title)
	k.left = nil
	m := k.message(cleo, private(cleo), "/start")
	m.Members, m.Presumed = map[catch.ChatID]bool{club.ID: true}, map[catch.ChatID]bool{club.ID: true}
	sendings, err := k.desk.Take(t.Context(), []bot.Message{m})
	require.NoError(t, err)
	assert.NotContains(t, labelsOf(delivered{Reply: sendings[0].Reply}), club.Title, "only taken for granted")
}

func labelsOf(r delivered) (all string) {
	for _, row := range r.Buttons {
		for _, b := range row {
			all += b.Label + "\n"
		}
	}
	return all
}

// The first message has three things to do, and each does it.
func TestNewcomerHasThreeThingsToDoFirst(t *testing.T) {
	for who, labels := range map[bot.Person][3]string{
		cleo:   {"Try it", "My weights", "How it is done"},
		ines:   {"Probar", "Mis pesos", "Cómo se hace"},
		joao:   {"Experimentar", "Meus pesos", "Como se faz"},
		margot: {"Essayer", "Mes lests", "Comment faire"},
	} {
		k := newTalk(t)
		hello := only(t, k.say(who, "/start"))
		tried := k.tap(who, private(who), hello, labels[0])
		assert.Contains(t, tried[len(tried)-1].Text, "40 oz", who.Name)
		how := k.tap(who, private(who), hello, labels[2])
		assert.NotNil(t, how[len(how)-1].Attach, who.Name)
		sets := k.tap(who, private(who), hello, labels[1])
		assert.Contains(t, labelsOf(sets[len(sets)-1]), "500 g", who.Name)
		set := k.tap(who, private(who), sets[len(sets)-1], "60 oz")
		assert.Contains(t, set[len(set)-1].Text, "60 oz", who.Name)
	}
}

// A link ends in letters by chance, which may look like words: "/start club-1-yelmero".
func TestTheCodeOfALinkIsInNoLanguage(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(bruno, "/start club-1-y el mero está muy hondo"))
	assert.Equal(t, "That link does not work. /join in your club’s group shows the right one", r.Text)
}

// In private the seasons are the club's, and said to be.
func TestSeasonsInPrivateNameTheirClub(t *testing.T) {
	k := newTalk(t)
	here := only(t, k.tell(ada, "/season new Spring 2026-03-01 2026-12-31"))
	assert.Contains(t, here.Text, "Seasons of this chat\nSpring")
	k.tell(bruno, "/ask gag 40 m")
	assert.Contains(t, only(t, k.say(bruno, "/season")).Text, "Seasons of "+club.Title+"\nSpring")
}
