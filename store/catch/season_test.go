package catch

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

func TestSeasonBeforeIsTheLastThatEnded(t *testing.T) {
	day := func(year, month int) time.Time { return time.Date(year, time.Month(month), 1, 0, 0, 0, 0, time.UTC) }
	list := []Season{
		{Name: "2024", Opens: day(2024, 3), Closes: day(2024, 9)}, {Name: "2026", Opens: day(2026, 3), Closes: day(2026, 9)},
		{Name: "2025", Opens: day(2025, 3), Closes: day(2025, 9)},
	}
	name, ok := SeasonBefore(list, "2026")
	assert.True(t, ok)
	assert.Equal(t, "2025", name)
	for _, none := range []string{"2024", "", "2031"} {
		_, ok = SeasonBefore(list, none)
		assert.False(t, ok, none)
	}
}
