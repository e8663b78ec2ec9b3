package files_test

import (
	"context"
	"log/slog"
	"path/filepath"
	"reflect"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot"
	"deepward/bot/files"
	"deepward/bot/talk"
	"deepward/store"
	"deepward/store/catch"
)

func TestMyDataHoldsReportsAndQuestionsOfThatPersonOnly(t *testing.T) {
	now := func() time.Time { return time.Date(2026, 5, 2, 9, 0, 0, 0, time.UTC) }
	s, err := store.Open(filepath.Join(t.TempDir(), "log.db"), store.Options{KeyFile: filepath.Join(t.TempDir(), "key"), Now: now})
	require.NoError(t, err)
	defer s.Close()
	desk := &bot.Desk{Store: s, Engine: bot.NewEngine(), Maker: files.New(s, now), Log: slog.New(slog.DiscardHandler)}
	say := func(update catch.UpdateID, who catch.PersonID, text string) {
		_, err := desk.Take(context.Background(), []bot.Message{{
			Update: update, Chat: bot.Chat{ID: catch.ChatID(who)}, Sender: bot.Person{ID: who, Name: "P", Admin: true}, ID: int(update),
			Text: text, SentAt: now(), ReceivedAt: now(), Addressed: true,
		}})
		require.NoError(t, err)
	}
	say(1, 501, "gag 40m 3kg by the old wreck")
	say(2, 501, "log scamp 70 m sent down 40 oz")
	say(3, 502, "red snapper 45m 2kg")
	say(4, 501, "wonkle means red snapper")
	say(5, 501, "zorbie 50 m 3 kg")
	f, err := files.New(s, now).Make(context.Background(), bot.Attachment{Kind: bot.FileMyData, Args: map[string]string{"person": "501"}})
	require.NoError(t, err)
	for _, part := range []string{"gag 40m 3kg by the old wreck", "log scamp 70 m", "What is set", "Your words: ", "What was done: sent down", "Release weights: 40 oz", "Fish: Scamp", "wonkle", "zorbie"} {
		assert.Contains(t, string(f.Data), part)
	}
	assert.NotContains(t, string(f.Data), "red snapper 45m")
}

// What is kept is told in words of the person's language, and nothing of a report is left
// out: each field that is filled changes the sheet.
func TestMyDataLeavesNothingOfAReportOut(t *testing.T) {
	dir, now := t.TempDir(), func() time.Time { return time.Date(2026, 5, 2, 9, 0, 0, 0, time.UTC) }
	s, err := store.Open(filepath.Join(dir, "log.db"), store.Options{KeyFile: filepath.Join(dir, "key"), Now: now})
	require.NoError(t, err)
	defer s.Close()
	kept := func(r *catch.Report, language string) string {
		require.NoError(t, s.Update(func(tx *store.Tx) error {
			if r.Number == 0 {
				_, err := tx.AddReport(r)
				return err
			}
			return tx.PutReport(r)
		}))
		f, err := files.New(s, now).Make(context.Background(), bot.Attachment{Kind: bot.FileMyData, Args: map[string]string{"person": "501", "language": language}})
		require.NoError(t, err)
		return string(f.Data)
	}
	r := &catch.Report{Chat: 1, CaughtAt: now(), Species: "Mycteroperca microlepis", SpeciesSure: true, Capture: advisor.Capture{LengthCm: new(40.0)},
		Personal: catch.Personal{Person: 501, Lat: new(28.1), Lon: new(-85.0)}}
	before := kept(r, "es")
	// What follows from other fields, or names the report itself.
	derived := []string{"Number", "Chat", "CaughtAt", "SavedAt", "ChangedAt", "Who", "LogNo", "ClubNo", "Personal", "Person", "Given"}
	var fill func(of reflect.Value)
	fill = func(of reflect.Value) {
		for i := range of.NumField() {
			name, field := of.Type().Field(i).Name, of.Field(i)
			if of.Type().Field(i).Anonymous {
				fill(field)
				continue
			}
			if slices.Contains(derived, name) {
				continue
			}
			old := reflect.ValueOf(field.Interface())
			field.Set(filled(name, field.Type()))
			after := kept(r, "es")
			assert.NotEqual(t, before, after, "%s is kept and not told", name)
			assert.NotContains(t, after, "mydata.", name)
			assert.NotContains(t, after, "%!", name)
			field.Set(old)
			before = kept(r, "es")
		}
	}
	fill(reflect.ValueOf(r).Elem())
	fill(reflect.ValueOf(&r.Personal).Elem())
	assert.Contains(t, before, "Tus informes: 1")
	for language, want := range map[string]string{"en": "Your reports: 1", "pt": "Os seus relatos: 1", "pt-BR": "Seus relatos: 1", "fr": "Tes rapports"} {
		assert.Contains(t, kept(r, language), want)
	}
}

// So is all that a person set or that was learnt of them.
func TestMyDataLeavesNothingOfTheSettingsOut(t *testing.T) {
	dir, now := t.TempDir(), func() time.Time { return time.Date(2026, 5, 2, 9, 0, 0, 0, time.UTC) }
	s, err := store.Open(filepath.Join(dir, "log.db"), store.Options{KeyFile: filepath.Join(dir, "key"), Now: now})
	require.NoError(t, err)
	defer s.Close()
	told := func(p bot.Profile) string {
		require.NoError(t, s.Update(func(tx *store.Tx) error { return tx.Put("person", tx.PersonKey(501), p) }))
		f, err := files.New(s, now).Make(context.Background(), bot.Attachment{Kind: bot.FileMyData, Args: map[string]string{"person": "501", "language": "fr"}})
		require.NoError(t, err)
		return string(f.Data)
	}
	before := told(bot.Profile{})
	set := map[string]any{
		"Units": "imperial", "Region": "Hawaii", "Language": "pt", "Practice": "fwc", "Names": []bot.NameTaught{{Name: "old bob", Species: "Gadus morhua"}},
		"Habits": talk.Habits{Depth: talk.Habit{Factor: 0.3048, Times: 3}}, "Clubs": []catch.ClubID{4},
	}
	fields := reflect.TypeFor[bot.Profile]()
	for i := range fields.NumField() {
		var p bot.Profile
		field := reflect.ValueOf(&p).Elem().Field(i)
		if value, ok := set[fields.Field(i).Name]; ok {
			field.Set(reflect.ValueOf(value))
		} else {
			field.Set(filled(fields.Field(i).Name, field.Type()))
		}
		after := told(p)
		assert.NotEqual(t, before, after, "%s is kept and not told", fields.Field(i).Name)
		assert.NotContains(t, after, "mydata.", fields.Field(i).Name)
		assert.NotContains(t, after, "settings.", fields.Field(i).Name)
	}
}

// filled is a value that a field may have.
func filled(name string, of reflect.Type) reflect.Value {
	words := map[string]string{
		"Species": "Lutjanus campechanus", "LengthType": "FL", "Method": "vented", "Hook": "gut", "Behaviour": "weak", "Outcome": "taken",
	}
	switch {
	case name == "Lat" || name == "Lon":
		return reflect.ValueOf(new(12.5))
	case of.Kind() == reflect.String:
		text := words[name]
		if text == "" {
			text = "something"
		}
		return reflect.ValueOf(text).Convert(of)
	case of.Kind() == reflect.Bool:
		return reflect.ValueOf(name != "SpeciesSure")
	case of.Kind() == reflect.Slice && of.Elem().Kind() == reflect.String:
		return reflect.Append(reflect.MakeSlice(of, 0, 1), reflect.ValueOf("bulging_eyes").Convert(of.Elem()))
	case of.Kind() == reflect.Slice:
		return reflect.ValueOf([]float64{40})
	case of == reflect.TypeFor[*catch.Cell]():
		return reflect.ValueOf(&catch.Cell{Lat: 105, Lon: -203})
	case of == reflect.TypeFor[*catch.Day]():
		return reflect.ValueOf(&catch.Day{Ago: 1, Words: "yesterday"})
	case of.Kind() == reflect.Pointer:
		return reflect.ValueOf(new(33.0))
	}
	return reflect.ValueOf(7).Convert(of)
}
