package delivery

// A person floods a group when so many replies to them wait there, and they are so
// large a part of all that wait. Each needs both: in a lively hour many write, and
// what waits goes in its order.
const (
	floodWaiting = 10
	floodPart    = 4.0 / 5
)

// judge marks a reply to a group as more than its person's share, if it is: replies to
// the others go before it. Telegram limits what a group may get, and one person could
// use all of it. Replies to the same person keep their order.
func (l *lane) judge(j *Job) {
	if j.Reply.For == 0 {
		return
	}
	own, behind := 0, false
	for _, w := range l.waiting {
		if w.Reply.For == j.Reply.For && w.class == j.class {
			own, behind = own+1, behind || w.surplus
		}
	}
	j.surplus = behind || own >= floodWaiting && float64(own) >= floodPart*float64(len(l.waiting))
}
