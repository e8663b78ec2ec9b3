package bot_test

import (
	"cmp"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/draw"
	"deepward/bot/words"
	"deepward/store"
	"deepward/store/catch"
)

// keyboards bring up each kind of buttons that stand under a reply to the person.
var keyboards = map[string]func(k *talk, who bot.Person) delivered{
	"advice":  func(k *talk, who bot.Person) delivered { return only(k.t, k.say(who, "snapper 45 m 3 kg")) },
	"unit":    func(k *talk, who bot.Person) delivered { return only(k.t, k.say(who, "gag 45 3kg")) },
	"role":    func(k *talk, who bot.Person) delivered { return only(k.t, k.say(who, "gag 25 m weighs 12")) },
	"reports": func(k *talk, who bot.Person) delivered { k.say(who, reported); return only(k.t, k.say(who, "/undo")) },
	"report":  func(k *talk, who bot.Person) delivered { return only(k.t, k.say(who, reported)) },
	"doubted": func(k *talk, who bot.Person) delivered {
		return only(k.t, k.say(who, "log red snapper 45 m 60 kg sent down 40 oz swam off"))
	},
	"taken back": func(k *talk, who bot.Person) delivered { k.say(who, reported); return only(k.t, k.say(who, "/undo 1")) },
	"how it went": func(k *talk, who bot.Person) delivered {
		return only(k.t, k.press(who, only(k.t, k.say(who, "gag 45 m 3 kg")), "done"))
	},
	"length": func(k *talk, who bot.Person) delivered {
		return only(k.t, k.press(who, only(k.t, k.press(who, only(k.t, k.say(who, "gag 45 m")), "done")), "went"))
	},
	"place": func(k *talk, who bot.Person) delivered {
		k.say(who, reported)
		m := k.message(who, private(who), "")
		m.Place = &bot.Place{Lat: -31.2, Lon: -18.6}
		return only(k.t, k.take(m))
	},
	"day": func(k *talk, who bot.Person) delivered {
		return only(k.t, k.say(who, "log gag 40 m 52 cm sent down 40 oz swam off on 04/03"))
	},
	"forget": func(k *talk, who bot.Person) delivered { k.say(who, reported); return only(k.t, k.say(who, "/forget")) },
	"start":  func(k *talk, who bot.Person) delivered { return only(k.t, k.say(who, "/start")) },
	"weights": func(k *talk, who bot.Person) delivered {
		return only(k.t, k.press(who, only(k.t, k.say(who, "/start")), "first 0 weights"))
	},
	"names": func(k *talk, who bot.Person) delivered {
		k.tell(who, "hello")
		k.say(who, "/names wonkle = Glaucosoma hebraicum")
		return only(k.t, k.say(who, "wonkle 50 m 3 kg"))
	},
	"which fish": func(k *talk, who bot.Person) delivered {
		k.say(who, "/my region western australia")
		return only(k.t, k.say(who, "zonkle 50 m 3 kg"))
	},
	"club": func(k *talk, who bot.Person) delivered { return only(k.t, k.say(who, "/start club-1")) },
	"club's reports": func(k *talk, who bot.Person) delivered {
		k.tell(who, "hello")
		return only(k.t, k.say(who, reported))
	},
}

// titles are those of lessons and of their drawings, by the command that shows them.
var titles = map[string][]string{
	"/signs": {"lesson.signs", "signs.title"}, "/venting": {"lesson.venting"}, "/weights": {"lesson.weights", "weights.title"},
	"/whennot": {"lesson.whennot", "whennot.title"}, "/how": {"how.down", "hook.title"},
}

// The title of a lesson asks for it, that of its drawing too.
func TestTitlesOfLessonsAreUnderstoodWhenTyped(t *testing.T) {
	for _, tag := range words.Languages {
		k := newTalk(t)
		who := bot.Person{ID: 600, Name: "Ada", Language: tag.String()}
		for command, keys := range titles {
			want := saying(k.say(who, command))
			for _, key := range keys {
				title := cmp.Or(draw.In(tag.String(), false).Text[key], words.For(tag.String(), false).Say(key, "", ""))
				title, _, _ = strings.Cut(title, "\n")
				assert.Equal(t, want, saying(k.say(who, title)), "%s: %q", tag, title)
			}
		}
	}
}

const reported = "log gag 40 m 52 cm 2 kg sent down 40 oz swam off"

// press taps the first button whose data begin so.
func (k *talk) press(who bot.Person, under delivered, data string) []delivered {
	k.t.Helper()
	for _, row := range under.Buttons {
		for _, b := range row {
			if strings.HasPrefix(b.Data, data) {
				return k.forge(who, private(who), under.id, b.Data)
			}
		}
	}
	require.Failf(k.t, "no such button", "%q under %q", data, under.Text)
	return nil
}

// kept is what stands of a person's reports, and what they have set.
func (k *talk) kept(who bot.Person) string {
	k.t.Helper()
	var b strings.Builder
	require.NoError(k.t, k.store.View(func(tx *store.Tx) error {
		for r, err := range tx.Reports(catch.Filter{Personal: true, Undone: true}) {
			if err != nil {
				return err
			}
			if r.Personal.Person == who.ID {
				fmt.Fprintf(&b, "%v %s %s %s %v %v %v %v\n", r.Undone, r.Species, r.Method, r.Outcome, r.LengthCm != nil, r.Flags, r.Club != 0, r.CaughtAt.Format(time.DateOnly))
			}
		}
		p, err := bot.ProfileOf(tx, who.ID)
		fmt.Fprint(&b, p.WeightsOz, p.KeepPlace, p.PlaceAsked, len(p.Clubs), p.CountFor != 0, len(p.Names))
		return err
	}))
	return b.String()
}

var figures = regexp.MustCompile(`\d+`)

// saying are the words of replies, without their figures: the numbers of reports differ.
func saying(replies []delivered) (list []string) {
	for _, r := range replies {
		if r.Text == "" && r.Attach == nil {
			continue
		}
		list = append(list, figures.ReplaceAllString(r.Text, "#"))
	}
	return list
}

// A label is understood where it is typed as where it is tapped: in each language, for each
// kind of buttons. Two people bring up the same buttons, one taps, one types.
func TestEveryLabelDoesWhenTypedWhatItsTapDoes(t *testing.T) {
	for _, tag := range words.Languages {
		k := newTalk(t)
		k.tell(bot.Person{ID: 500, Name: "Org", Admin: true}, "/season new Spring 2026-01-01 2026-12-31")
		next := catch.PersonID(600)
		fresh := func() bot.Person {
			next++
			return bot.Person{ID: next, Name: "Ada", Language: tag.String()}
		}
		for _, name := range slices.Sorted(maps.Keys(keyboards)) {
			show := keyboards[name]
			first := show(k, fresh()).Buttons
			rows := len(first)
			for i, row := range first {
				for j := range row {
					tapper, typer := fresh(), fresh()
					under := show(k, tapper)
					require.Len(t, under.Buttons, rows, "%s, %s: %q", tag, name, under.Text)
					tapped := k.forge(tapper, private(tapper), under.id, under.Buttons[i][j].Data)
					label := show(k, typer).Buttons[i][j].Label
					typed := k.say(typer, label)
					what := fmt.Sprintf("%s, %s: %q", tag, name, label)
					assert.Equal(t, k.kept(tapper), k.kept(typer), what)
					if verb, _, _ := strings.Cut(under.Buttons[i][j].Data, " "); verb != "done" { // what was told in words is kept with fewer guesses
						assert.Equal(t, saying(tapped), saying(typed), what)
					}
				}
			}
		}
	}
}

// A label too long to be typed is no label, and a long message is nothing but what it says.
func TestLongMessageIsNotTheTapOfALongLabel(t *testing.T) {
	k := newTalk(t)
	m := k.message(ada, bot.Chat{ID: -901, Group: true, Title: strings.Repeat("Marl Reef ", 10)}, reported)
	m.Addressed = true
	k.take(m)
	k.say(ada, "log red snapper 40 m 3 kg sent down")
	asked := only(t, k.say(ada, "/undo"))
	require.Len(t, asked.Buttons, 2, asked.Text)
	require.Greater(t, len(asked.Buttons[1][0].Label), 100)
	k.say(ada, "log red snapper from 45 m, 3 kg, hooked in the lip, eyes bulging, sent down with 40 oz and it swam off at once")
	assert.Len(t, k.reports(), 3)
}
