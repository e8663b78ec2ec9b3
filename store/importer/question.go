package importer

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// Question is something in a file that can be read in two ways.
type Question struct {
	// Text says what is open and which flags settle it, for scripts.
	Text string
	said Said
	// Choices are the answers that come to mind, best first.
	Choices []Choice
	// Own is what an answer in one's own words settles; its Value is empty. Nil where
	// only the choices will do, or only the file can be mended.
	Own *Answer
}

// Choice is one answer and what it is called.
type Choice struct {
	Label string
	Answer
	said Said
}

// In is the label in a language.
func (c Choice) In(language string) string { return c.said.In(language) }

// Asks is the question without its flags, for people.
func (q *Question) Asks() string { return q.In("en") }

// In is the same in a language.
func (q *Question) In(language string) string { return q.said.In(language) }

// people sets what people are asked, where that is another sentence.
func (q *Question) people(format string, args ...any) *Question {
	q.said = Said{format, args}
	return q
}

// String is the whole question.
func (q *Question) String() string { return q.Text }

// offer adds an answer.
func (q *Question) offer(label string, a Answer) *Question {
	return q.offerSaid(Said{format: label}, a)
}

func (q *Question) offerSaid(label Said, a Answer) *Question {
	q.Choices = append(q.Choices, Choice{label.String(), a, label})
	return q
}

// own takes an answer in one's own words.
func (q *Question) own(a Answer) *Question {
	q.Own = &a
	return q
}

// column offers meanings for a column, and its leaving out; other words will do too.
func (q *Question) column(heading string, meanings ...string) *Question {
	for _, m := range meanings {
		q.offer(m, Answer{Setting: SettingColumn, Key: heading, Value: m})
	}
	return q.offer("leave the column out", Answer{Setting: SettingColumn, Key: heading, Value: leaveOut}).
		own(Answer{Setting: SettingColumn, Key: heading})
}

// Settle is the answer that a text gives: the number of a choice from 1, its label, or
// one's own words. The error says what may be answered.
func (q *Question) Settle(text string) (Answer, error) {
	text = strings.TrimSpace(text)
	if n, err := parseWhole(text); err == nil && n >= 1 && n <= len(q.Choices) {
		return q.Choices[n-1].Answer, nil
	}
	for _, c := range q.Choices {
		if spaced(c.Label) == spaced(text) || spaced(c.Value) == spaced(text) {
			return c.Answer, nil
		}
	}
	if q.Own != nil && text != "" {
		a := *q.Own
		a.Value = text
		return a, new(Answers).Add(a)
	}
	return Answer{}, fmt.Errorf("answer with a number from 1 to %d", len(q.Choices))
}

// Setting is what an answer settles.
type Setting string

// The settings, by the flags of the same name.
const (
	SettingDates      Setting = "dates"
	SettingUnits      Setting = "units"
	SettingRecaptures Setting = "recaptures"
	SettingComma      Setting = "comma"
	SettingDate       Setting = "date"
	SettingSpecies    Setting = "species"
	SettingColumn     Setting = "column"
	SettingValue      Setting = "value"
	SettingSheet      Setting = "also"
)

// Answer is one thing that was said of a file. Key is a heading for a column,
// HEADING:CELL for a value, and the name of a sheet; else "".
type Answer struct {
	Setting    Setting
	Key, Value string
}

// Answers are all that was said of files with the same headings, as it is kept.
type Answers struct {
	Dates      DateOrder         `json:"dates,omitempty"`
	Units      Units             `json:"units,omitempty"`
	Recaptures Recaptures        `json:"recaptures,omitempty"`
	Comma      Comma             `json:"comma,omitempty"`
	Date       string            `json:"date,omitempty"`
	Species    string            `json:"species,omitempty"`
	Columns    map[string]string `json:"columns,omitempty"`
	Values     map[string]string `json:"values,omitempty"`
	Sheets     map[string]string `json:"sheets,omitempty"`
}

// Add takes an answer in. The error says what the setting may be.
func (a *Answers) Add(one Answer) (err error) {
	switch one.Setting {
	case SettingDates:
		a.Dates, err = ParseDates(one.Value)
	case SettingUnits:
		a.Units, err = ParseUnits(one.Value)
	case SettingRecaptures:
		a.Recaptures, err = ParseRecaptures(one.Value)
	case SettingComma:
		a.Comma, err = ParseComma(one.Value)
	case SettingDate:
		a.Date, err = one.Value, checkFill(one.Value)
	case SettingSpecies:
		a.Species = one.Value
	case SettingColumn:
		a.Columns = with(a.Columns, one)
	case SettingValue:
		a.Values = with(a.Values, one)
	case SettingSheet:
		if one.Value, err = parseSheet(one.Value); err == nil {
			a.Sheets = with(a.Sheets, one)
		}
	default:
		err = fmt.Errorf("%q is nothing that an import asks", one.Setting)
	}
	return err
}

func with(m map[string]string, one Answer) map[string]string {
	if m == nil {
		m = map[string]string{}
	}
	m[one.Key] = one.Value
	return m
}

// Empty is true when nothing was answered.
func (a Answers) Empty() bool {
	return a.Dates == "" && a.Units == "" && a.Recaptures == "" && a.Comma == "" && a.Date == "" && a.Species == "" && len(a.Columns)+len(a.Values)+len(a.Sheets) == 0
}

// Fill sets what the options leave open; what they say goes before the answers.
func (a Answers) Fill(o *Options) {
	fill(&o.Dates, a.Dates)
	fill(&o.Units, a.Units)
	fill(&o.Recaptures, a.Recaptures)
	fill(&o.Comma, a.Comma)
	fill(&o.Date, a.Date)
	fill(&o.Species, a.Species)
	o.Columns, o.Values, o.Sheets = under(o.Columns, a.Columns), under(o.Values, a.Values), under(o.Sheets, a.Sheets)
}

func fill[T ~string](into *T, from T) {
	if *into == "" {
		*into = from
	}
}

// under is a map with what only the second has added.
func under(said, kept map[string]string) map[string]string {
	all := map[string]string{}
	maps.Copy(all, kept)
	maps.Copy(all, said)
	return all
}

// ParseUnits reads a system of units, by its name or one of its units of length.
func ParseUnits(text string) (Units, error) {
	return oneOf("units", text, []Units{Metric, Imperial}, map[string]Units{
		"m": Metric, "metre": Metric, "metres": Metric, "meter": Metric, "meters": Metric, "cm": Metric, "si": Metric, "kg": Metric,
		"metrico": Metric, "metrica": Metric, "metrique": Metric,
		"ft": Imperial, "foot": Imperial, "feet": Imperial, "us": Imperial, "in": Imperial, "inches": Imperial, "lb": Imperial, "lbs": Imperial, "pounds": Imperial, "imperiales": Imperial,
	})
}

// ParseDates reads an order of dates.
func ParseDates(text string) (DateOrder, error) {
	return oneOf("dates", text, []DateOrder{DayMonthYear, MonthDayYear, YearMonthDay, DaySerial}, map[string]DateOrder{
		"d/m/y": DayMonthYear, "dd/mm/yyyy": DayMonthYear, "day first": DayMonthYear, "m/d/y": MonthDayYear, "mm/dd/yyyy": MonthDayYear, "month first": MonthDayYear,
		"y-m-d": YearMonthDay, "yyyy-mm-dd": YearMonthDay, "iso": YearMonthDay, "year first": YearMonthDay,
	})
}

// ParseRecaptures reads what a yes under "recaptured" means.
func ParseRecaptures(text string) (Recaptures, error) {
	return oneOf("recaptures", text, []Recaptures{RowIsRecapture, SeenLater, Repeated, ReturnsOnly}, nil)
}

// ParseComma reads what a comma in a figure is.
func ParseComma(text string) (Comma, error) {
	return oneOf("comma", text, []Comma{CommaDecimal, CommaThousands}, map[string]Comma{"decimals": CommaDecimal, "thousand": CommaThousands})
}

// oneOf reads one of a few words in any case, "" as nothing said; the error lists them.
func oneOf[T ~string](flag, text string, list []T, also map[string]T) (T, error) {
	word := T(spaced(text))
	if word == "" || slices.Contains(list, word) {
		return word, nil
	}
	if as, ok := also[string(word)]; ok {
		return as, nil
	}
	names := make([]string, len(list))
	for i, w := range list {
		names[i] = string(w)
	}
	return "", fmt.Errorf("%w: --%s %q is none of %s", ErrOption, flag, text, strings.Join(names, ", "))
}

// checked are the options with every word in its one form; the error names the first
// that is none.
func (o Options) checked() (Options, error) {
	var err error
	if o.Dates, err = ParseDates(string(o.Dates)); err != nil {
		return o, err
	}
	if o.Units, err = ParseUnits(string(o.Units)); err != nil {
		return o, err
	}
	if o.Recaptures, err = ParseRecaptures(string(o.Recaptures)); err != nil {
		return o, err
	}
	if o.Comma, err = ParseComma(string(o.Comma)); err != nil {
		return o, err
	}
	return o, checkFill(o.Date)
}

// offerOrders offers orders of dates.
func (q *Question) offerOrders(list ...DateOrder) *Question {
	says := map[DateOrder]string{DayMonthYear: "day first", MonthDayYear: "month first", YearMonthDay: "year first"}
	for _, o := range list {
		q.offer(says[o], Answer{Setting: SettingDates, Value: string(o)})
	}
	return q
}

// offerRecaptures offers meanings of a row or a yes.
func (q *Question) offerRecaptures(list ...Recaptures) *Question {
	says := map[Recaptures]string{
		RowIsRecapture: "no: each line is what happened that day", SeenLater: "the line is the release, and the fish was caught again later",
		Repeated: "later lines of a tag are its recaptures", ReturnsOnly: "each line is a recapture; the releases are elsewhere",
	}
	if slices.Contains(list, SeenLater) {
		says[RowIsRecapture] = "the line is the recapture"
	}
	for _, r := range list {
		q.offer(says[r], Answer{Setting: SettingRecaptures, Value: string(r)})
	}
	return q
}

// word offers what one cell of a column may mean; the others are asked after it.
func (q *Question) word(c *Column, cell string) *Question {
	meanings := []string{"yes", "no"}
	if c.field == fieldMethod {
		meanings = []string{"surface", "vented", "sent down", "kept"}
	}
	if c.field == fieldCondition {
		meanings = []string{"swam down", "weak", "floated", "died", "kept"}
	}
	key := c.Heading + ":" + cell
	for _, m := range meanings {
		q.offerSaid(Said{"%q is %s", []any{cell, m}}, Answer{Setting: SettingValue, Key: key, Value: m})
	}
	return q.offerSaid(Said{"%q is not told", []any{cell}}, Answer{Setting: SettingValue, Key: key, Value: leaveOut}).own(Answer{Setting: SettingValue, Key: key})
}

// dateColumns offers each of some columns as the date.
func (q *Question) dateColumns(list []*Column) *Question {
	for _, c := range list {
		q.offerSaid(Said{"%s", []any{c.Heading}}, Answer{Setting: SettingColumn, Key: c.Heading, Value: "date"})
	}
	return q
}
