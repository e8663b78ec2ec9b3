package understand

import (
	"testing"

	"deepward/bot/understand/learned"
)

func BenchmarkRead(b *testing.B) {
	r := NewReader()
	for name, text := range map[string]string{
		"short":   "gag 40 m 3 kg",
		"story":   "got 2 reds off the 45m ledge, eyes popping on both, only have a 20 oz aboard, what do i do",
		"chatter": "lovely morning out here, nothing biting yet, the wife says hello and asks when we will be home for tea",
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				r.Read(text, Setting{Region: "US Gulf of Mexico", Language: "en"}, learned.Context{})
			}
		})
	}
}
