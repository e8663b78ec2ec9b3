package understand

import "testing"

func BenchmarkUnderstand(b *testing.B) {
	r := NewReader()
	for name, text := range map[string]string{
		"exact":    "red snapper 45m 3kg eyes bulging",
		"misspelt": "quilback rokfish 150' 2#",
		"sentence": "what do i do with a 3kg gag from 50m its eyes are bulging?",
		"chatter":  "bring 2kg of ice and be at the jetty by 6",
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				r.Understand(text, Setting{})
			}
		})
	}
}
