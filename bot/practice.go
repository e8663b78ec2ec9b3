package bot

import (
	"slices"
	"strconv"
	"strings"

	"deepward/advisor"
	"deepward/bot/words"
)

// OwnPractice is the choice of the program's own practice over a club's.
const OwnPractice = "own"

// practice is the key of the agency practice that answers follow: the person's choice, else
// the chat's, else in private the club's.
func (t *turn) practice() string {
	key := firstOf(t.profile.Practice, t.club.Practice, t.home.Practice)
	if key == OwnPractice {
		return ""
	}
	return key
}

// readPractice reads the key of a practice, or a part of the agency's name.
func readPractice(text string) (string, bool) {
	text = strings.ToLower(text)
	if slices.Contains([]string{OwnPractice, "none", "default", "propia", "própria", "propria", "propre", "ninguna", "nenhuma", "aucune"}, text) {
		return OwnPractice, true
	}
	for _, p := range advisor.Practices() {
		if text == p.Key || text == strings.ToLower(p.Short) || len(text) > 3 && strings.Contains(strings.ToLower(p.Agency), text) {
			return p.Key, true
		}
	}
	return "", false
}

// practiceLine shows the practice that answers follow, with its agency and year.
func practiceLine(v words.Voice, key string) string {
	for _, p := range advisor.Practices() {
		if p.Key == key {
			return v.Say("settings.practice", p.Short+" ("+p.Agency+", "+strconv.Itoa(p.Year)+")")
		}
	}
	return v.Say("settings.practice", v.Say("settings.own_practice", v.Depth(advisor.ExpectBarotrauma)))
}

// practiceKeys are the keys to choose from.
func practiceKeys() string {
	keys := []string{OwnPractice}
	for _, p := range advisor.Practices() {
		keys = append(keys, p.Key)
	}
	return strings.Join(keys, " · ")
}
