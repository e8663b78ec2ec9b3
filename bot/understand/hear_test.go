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

// 120 ft are 20 fathoms too: what was typed tells the unit, not the figure.
func TestUnitsAreThoseThatWereTyped(t *testing.T) {
	for text, want := range map[string]UnitFactors{
		"gag 120 ft 12 lb":       {Depth: 0.3048, Weight: 0.45359237},
		"gag 20 fathoms 5 kg":    {Depth: 1.8288, Weight: 1},
		"red snapper 45m 50 cm":  {Depth: 1, Length: 1},
		"gag 120 ft, 20 fathoms": {},
	} {
		if got := NewReader().Read(text, Setting{}, learned.Context{}).Told; got != want {
			t.Errorf("%s: %+v, not %+v", text, got, want)
		}
	}
}
