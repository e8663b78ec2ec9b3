package main

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// One person sends a group two hundred questions in ten seconds, and three others ask meanwhile.
func TestOthersAreAnsweredWhileOneFloodsTheGroup(t *testing.T) {
	inClub(t, func(c *club) {
		time.Sleep(2 * time.Minute)
		before := len(c.messages())
		asked := map[string]time.Time{}
		for i := range 200 {
			c.api.Say(theClub, 777, fmt.Sprintf("/ask gag %d m", 20+i%60))
			if i%60 == 50 {
				fish := []string{"red snapper", "cowcod", "bocaccio"}[i/60]
				c.api.Say(theClub, int64(900+i), "/ask "+fish+" 45 m")
				asked[fish] = time.Now()
			}
			time.Sleep(50 * time.Millisecond)
		}
		time.Sleep(30 * time.Minute)
		for _, call := range c.messages()[before:] {
			plain := strings.ToLower(call.Plain())
			for fish, at := range asked {
				if strings.Contains(plain, fish) {
					assert.Less(c, call.At.Sub(at), 5*time.Second, fish)
					delete(asked, fish)
				}
			}
		}
		assert.Empty(c, asked, "unanswered")
		assert.Len(c, c.messages()[before:], 203, "and of the flood none is lost")
	})
}
