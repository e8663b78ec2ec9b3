package bot

import (
	"slices"
	"strconv"
	"strings"

	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/bot/words"
	"deepward/store/catch"
)

// report keeps what somebody says was done.
func (t *turn) report(m understand.Meaning) error {
	fish := append([]advisor.Query{m.Query}, m.More...)
	from := uint64(0)
	if nothingTold(m) {
		t.askDone()
		return nil
	}
	if last, ok := t.lastAsked(); ok && m.Query.Species == "" && m.Query.SpeciesName == "" {
		// "released, 40 oz, swam off" is about the fish just asked for.
		fish = []advisor.Query{talk.Merge(last.Fish[0], m.Query)}
		from = t.session.Question
	}
	reports, err := t.keep(fish, m.DoneWith)
	if err != nil {
		return err
	}
	s := Session{Question: from, Report: reports[0].Number}
	if _, _, unsure := t.doubtedDay(reports[0]); unsure {
		s.Awaiting = awaitingDay
	}
	t.saveSession(s)
	return t.acknowledge(reports, m.Problems)
}

// nothingTold is true for a bare "log", as it comes from the list of commands: no fish,
// no figure and nothing done.
func nothingTold(m understand.Meaning) bool {
	q, d := m.Query, m.Done
	return q.SpeciesName == "" && q.DepthM == nil && q.WeightKg == nil && q.LengthCm == nil && q.Behaviour == "" &&
		len(q.Signs) == 0 && d.Tag == "" && d.Method == "" && d.Outcome == "" && len(d.WeightsOz) == 0
}

// askDone asks what was done, with the buttons of the fish just asked for.
func (t *turn) askDone() {
	r := Reply{Text: t.voice.Say("report.empty"), Asks: true}
	if last, ok := t.lastAsked(); ok && len(last.Reports) == 0 && reportable(last.Fish) && t.session.Question != 0 {
		r.Ref, r.Buttons = key(kindQuestion, t.m.Sender.ID, t.session.Question), t.adviceButtons(t.session.Question, last)
	}
	t.reply(r)
}

// keep stores one report for each single fish, and returns them; done says what was
// done with the i-th of the list.
func (t *turn) keep(fish []advisor.Query, done func(i int) understand.Done) ([]*catch.Report, error) {
	var reports []*catch.Report
	for i, q := range fish {
		for range max(1, q.Count) {
			r := t.newReport(q, done(i))
			r.Message, r.Part = t.origin.message, len(reports)
			if _, err := t.tx.AddReport(r); err != nil {
				return nil, err
			}
			reports = append(reports, r)
		}
	}
	return reports, t.greetTags(reports)
}

// newReport fills a report from what was understood; nothing is inferred that
// was not said, except that a release weight means the fish was sent down.
func (t *turn) newReport(q advisor.Query, d understand.Done) *catch.Report {
	r := &catch.Report{
		Chat: t.chat, Thread: t.origin.thread, CaughtAt: t.origin.at, SavedAt: t.now,
		Named:    t.profile.Named,
		Personal: catch.Personal{Person: t.m.Sender.ID, Name: t.m.Sender.Name, Words: t.origin.words},
	}
	t.touched = t.chat
	if !t.m.Chat.Group {
		r.Club = t.profile.CountFor
		t.touched = r.Club
	}
	fillFish(r, q)
	fillDone(r, d)
	r.Flags = Doubts(r)
	t.date(r, d.Day)
	return r
}

func fillFish(r *catch.Report, q advisor.Query) {
	r.Species, r.SpeciesGiven, r.SpeciesSure = q.Species, q.SpeciesName, q.Species != "" && !q.Ambiguous
	r.Capture, r.SignsLooked = q.Capture, len(q.Signs) > 0
	if len(q.DepthRangeM) == 2 {
		r.DepthMinM = &q.DepthRangeM[0]
	}
	r.Predators, r.SurfaceTempC = q.Predators, q.SurfaceTempC
}

func fillDone(r *catch.Report, d understand.Done) {
	r.Release = d.Release
	if r.Method == "" && len(d.WeightsOz) > 0 {
		r.Method = advisor.Recompressed
	}
	if d.Outcome == advisor.Died && r.Method == "" {
		r.Behaviour = advisor.Dead
	}
	if r.Method == advisor.Surface && r.Outcome == "" && r.Behaviour == advisor.Floating {
		r.Outcome = advisor.FloatedOff // let go at the top and floating: it did not get down
	}
}

// acknowledge confirms kept reports: with a mark in the report topic, else in
// words, asking back where a figure is odd.
func (t *turn) acknowledge(reports []*catch.Report, problems []understand.Problem) error {
	text := t.saved(reports)
	r := t.confirmation(text, reports, problems)
	if len(t.unread) > 0 { // a misreading is never silent
		r.Text += "\n" + words.SentenceCase(t.voice.Say("line.unread", strings.Join(t.unread, ", ")))
	}
	if t.m.Addressed {
		if err := t.askNameOf(&r, reports[0]); err != nil {
			return err
		}
	}
	told := slices.ContainsFunc(reports, func(r *catch.Report) bool { return r.DateOnly })
	if t.m.Chat.Group && !t.m.Addressed && r.Text == text && !told {
		r = Reply{React: true, Text: text, ReplyTo: t.m.ID, Ref: r.Ref}
	}
	t.reply(r)
	return nil
}

// opensMark is true for what opens a mark: "?" in answer to one's own message that made a
// report, or the command for one's reports there.
func (t *turn) opensMark() bool {
	text := strings.TrimSpace(t.m.Text)
	if _, mine := slashed(text, "mine"); !mine && text != "?" {
		return false
	}
	_, ok := t.ownReportIn(t.m.ReplyTo)
	return ok
}

// showReport shows how a message was read that made a report, with the buttons to change it.
func (t *turn) showReport() error {
	r, _ := t.ownReportIn(t.m.ReplyTo)
	report, err := t.ownReport(r.number)
	if err != nil || report == nil {
		return err
	}
	fish, err := t.fellows(report)
	if err != nil {
		return err
	}
	t.reply(t.confirmation(t.saved(fish), fish, nil))
	return nil
}

// confirmation says what is kept now, what was refused and what is odd, with the
// buttons to change it.
func (t *turn) confirmation(text string, reports []*catch.Report, problems []understand.Problem) Reply {
	lines := append([]string{text}, problemLines(t.voice, problems)...)
	if untold, err := t.isUntold(reports[0]); err == nil && untold {
		lines = append(lines, t.voice.Say("report.counts", t.clubTitle(reports[0].Club)))
	}
	lines = append(lines, t.doubtLines(reports)...)
	return Reply{Text: strings.Join(lines, "\n"), Ref: key("report", reports[0].Number), Buttons: t.reportButtons(reports)}
}

// corrected confirms a change to kept reports.
func (t *turn) corrected(reports []*catch.Report, problems []understand.Problem) {
	first, last := reports[0], reports[len(reports)-1]
	text := t.voice.Say("report.corrected", reportNo(first), t.dated(first))
	if len(reports) > 1 {
		text = t.voice.Say("report.corrected_several", reportNo(first), reportNo(last), t.describeAll(reports))
	}
	t.reply(t.confirmation(text, reports, problems))
}

// saved says what was kept, so that a misreading shows at once.
func (t *turn) saved(reports []*catch.Report) string {
	if len(reports) == 1 {
		return t.voice.Say("report.saved", reportNo(reports[0]), t.dated(reports[0]))
	}
	last := reports[len(reports)-1]
	return t.voice.Say("report.saved_several", len(reports), reportNo(reports[0]), reportNo(last), t.describeAll(reports))
}

// describe puts a report in one line: fish, size, depth, method, outcome.
func (t *turn) describe(r *catch.Report) string {
	v := t.voice
	parts := []string{t.reportName(r)}
	if r.WeightKg != nil {
		parts = append(parts, v.Mass(*r.WeightKg))
	}
	if r.LengthCm != nil {
		parts = append(parts, strings.TrimSpace(v.Length(*r.LengthCm)+" "+string(r.LengthType)))
	}
	if r.DepthM != nil {
		parts = append(parts, v.Depth(*r.DepthM))
	}
	if r.Method != "" {
		parts = append(parts, t.methodWords(r))
	}
	if r.Outcome != "" {
		parts = append(parts, v.Say("outcome."+string(r.Outcome)))
	}
	for _, s := range r.Signs {
		parts = append(parts, v.Say("sign."+string(s)))
	}
	parts = append(parts, t.stateWords(r)...)
	if r.Tag != "" {
		parts = append(parts, v.Say("report.tag", r.Tag))
	}
	return strings.Join(parts, ", ")
}

// stateWords say where the hook sat and how the fish was, as far as the outcome does not.
func (t *turn) stateWords(r *catch.Report) (parts []string) {
	if r.Hook != "" {
		parts = append(parts, t.voice.Say("hook."+string(r.Hook)))
	}
	said := r.Behaviour == advisor.Dead && r.Outcome == advisor.Died || r.Behaviour == advisor.Floating && r.Outcome == advisor.FloatedOff
	if r.Behaviour != "" && !said {
		parts = append(parts, t.voice.Say("behaviour."+string(r.Behaviour)))
	}
	return parts
}

func (t *turn) reportName(r *catch.Report) string {
	if s := advisor.LookUp(r.Species); s != nil {
		return nameOf(t.voice, s)
	}
	return firstOf(r.SpeciesGiven, t.voice.Say("report.some_fish"))
}

func (t *turn) methodWords(r *catch.Report) string {
	if r.Method == advisor.Recompressed && len(r.WeightsOz) > 0 {
		_, set := t.setWeights()
		v := Weighing(t.voice, firstOf(t.session.WeightUnit, set), r.WeightsOz)
		return v.Say("method.recompressed_with", v.OuncesTogether(r.WeightsOz))
	}
	return t.voice.Say("method." + string(r.Method))
}

func (t *turn) reportButtons(reports []*catch.Report) [][]Button {
	n := reports[0].Number
	row := []Button{button(t.voice.Say("button.undo"), pressUndo, n)}
	if !t.m.Chat.Group && len(t.profile.Clubs) > 0 {
		row = append(row, button(t.voice.Say("button.share"), pressShare, n))
	}
	if slices.ContainsFunc(reports, doubted) {
		row = append([]Button{button(t.voice.Say("button.right"), pressKeep, n)}, row...)
	}
	rows := [][]Button{row}
	if days := t.dayButtons(reports[0]); len(days) > 0 {
		rows = append([][]Button{days}, rows...)
	}
	return rows
}

// correct puts new words over kept reports; the fields they do not name stay.
func (t *turn) correct(reports []*catch.Report, m understand.Meaning) error {
	for i, r := range reports {
		if r.Personal.Person != t.m.Sender.ID {
			return nil
		}
		if i > 0 { // a size or a tag is one fish's
			m.Query.WeightKg, m.Query.LengthCm, m.Done.Tag, m.Done.Recapture = nil, nil, "", false
		}
		before := *r
		overlay(r, m)
		if problems := t.redate(r, m.Done.Day); i == 0 {
			m.Problems = append(m.Problems, problems...)
		}
		if err := t.putChanged(r, before); err != nil {
			return err
		}
	}
	t.corrected(reports, m.Problems)
	return nil
}

// putChanged keeps a report that was changed, with its doubts judged anew; a tag that
// was not known for it before is looked up as at the first time.
func (t *turn) putChanged(r *catch.Report, before catch.Report) error {
	doubtAgain(r, before)
	if err := t.tx.PutReport(r); err != nil {
		return err
	}
	if r.Tag == before.Tag {
		return nil
	}
	return t.greetTags([]*catch.Report{r})
}

// overlay changes the fields that the new words name.
func overlay(r *catch.Report, m understand.Meaning) {
	q := talk.Merge(reportQuery(r), m.Query)
	fresh := *r
	fillFish(&fresh, q)
	fresh.SignsLooked = r.SignsLooked || len(q.Signs) > 0
	d := talk.MergeDone(doneWith(r), m.Done)
	if len(d.WeightsOz) == 0 && r.Method == advisor.Recompressed {
		d.WeightsOz = m.Query.WeightsAboardOz
	}
	fillDone(&fresh, d)
	*r = fresh
}

// reportQuery is the fish of a report, as a question would give it.
func reportQuery(r *catch.Report) advisor.Query {
	q := advisor.Query{
		Species: r.Species, SpeciesName: r.SpeciesGiven, Ambiguous: r.Species != "" && !r.SpeciesSure,
		Capture: r.Capture, Count: 1, Predators: r.Predators, SurfaceTempC: r.SurfaceTempC,
	}
	if r.DepthMinM != nil && r.DepthM != nil {
		q.DepthRangeM = []float64{*r.DepthMinM, *r.DepthM}
	}
	return q
}

// reportNo writes the number of a report as people type it back: no separators.
func reportNo(r *catch.Report) string { return strconv.FormatUint(r.Told(), 10) }
