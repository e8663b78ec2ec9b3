package bot

import (
	"deepward/store/catch"
)

// place attaches a shared position to the person's last report: the 0.1 degree
// cell always, the exact place only if the person agrees.
func (t *turn) place() error {
	if t.m.Chat.Group && !t.m.Addressed && !t.inReportTopic() {
		return nil
	}
	r, err := t.ownReport(t.placeTarget())
	if err != nil {
		return err
	}
	if r == nil {
		if !t.m.Chat.Group {
			t.tell("place.no_report")
		}
		return nil
	}
	r.Cell = catch.CellOf(t.m.Place.Lat, t.m.Place.Lon)
	if t.profile.KeepPlace {
		r.Personal.Lat, r.Personal.Lon = &t.m.Place.Lat, &t.m.Place.Lon
	}
	if err := t.tx.PutReport(r); err != nil {
		return err
	}
	if t.profile.PlaceAsked {
		t.tell(t.placeKept(t.profile.KeepPlace), reportNo(r))
		return nil
	}
	return t.askPlace(r)
}

// placeKept is the sentence for a place that is kept. In a group the pin itself stands
// for all to see: no word of a seal there.
func (t *turn) placeKept(exact bool) string {
	if exact && t.m.Chat.Group {
		return "place.kept_here"
	}
	if exact {
		return "place.kept_exact"
	}
	return "place.kept_cell"
}

func (t *turn) placeTarget() uint64 {
	if r, ok := t.refOf(t.m.ReplyTo); ok && r.kind == "report" {
		return r.number
	}
	return t.session.Report
}

// askPlace asks once whether exact places may be kept. The position waits with
// the session's person, not in the group.
func (t *turn) askPlace(r *catch.Report) error {
	if err := t.tx.Put(kindPlace, t.ownKey(r.Number), *t.m.Place); err != nil {
		return err
	}
	v, n, ask := t.voice, r.Number, "place.ask"
	if t.m.Chat.Group {
		ask = "place.ask_here"
	}
	t.reply(Reply{
		Text:    v.Say(ask, reportNo(r)),
		Ref:     key("report", n),
		Buttons: [][]Button{{button(v.Say("button.place_yes"), pressPlace, n, "yes"), button(v.Say("button.place_no"), pressPlace, n, "no")}},
	})
	return nil
}

const kindPlace = "place"

// pressPlace keeps the waiting exact place, or drops it.
func (t *turn) pressPlace(n uint64, detail string) error {
	r, err := t.ownReport(n)
	if err != nil {
		return err
	}
	if r == nil {
		return t.notice("press.not_yours")
	}
	yes := detail == "yes"
	p := t.profile
	p.KeepPlace, p.PlaceAsked = yes, true
	if err := t.saveProfile(p); err != nil {
		return err
	}
	var waiting Place
	known, err := t.tx.Get(kindPlace, t.ownKey(n), &waiting)
	if err != nil {
		return err
	}
	if known && yes {
		r.Personal.Lat, r.Personal.Lon = &waiting.Lat, &waiting.Lon
		if err := t.tx.PutReport(r); err != nil {
			return err
		}
	}
	if err := t.tx.Delete(kindPlace, t.ownKey(n)); err != nil {
		return err
	}
	return t.replace(Reply{Text: t.voice.Say(t.placeKept(yes), reportNo(r)), Ref: key("report", n)})
}
