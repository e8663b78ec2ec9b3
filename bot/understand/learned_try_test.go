package understand

import (
	"fmt"
	"testing"
	"time"

	"deepward/bot/understand/learned"
)

func TestTryLearned(t *testing.T) {
	net := learned.Trained()
	for _, s := range []string{"red snapper 45m 3kg eyes bulging", "got 2 reds off the 45m ledge, eyes popping on both, only have a 20 oz aboard", "pagre 2kg vent. à l'aiguille à 6 min → nage de côté en surface"} {
		e := NewExample(s, nil)
		start := time.Now()
		sc := net.Read(lexicon(), e.Words, learned.Context{})
		fmt.Println(time.Since(start), sc.Act, sc.Follow)
		for i, w := range e.Words {
			fmt.Print(w, "[", sc.Tags[0][i], " ", sc.Tags[1][i], " ", sc.Tags[2][i], " ", sc.Tags[3][i], " ", sc.Tags[4][i], "] ")
		}
		fmt.Println()
	}
}
func BenchmarkLearned(b *testing.B) {
	net := learned.Trained()
	e := NewExample("got 2 reds off the 45m ledge, eyes popping on both, only have a 20 oz aboard", nil)
	for b.Loop() {
		net.Read(lexicon(), e.Words, learned.Context{})
	}
}
