package words

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

const head = "msgid \"\"\nmsgstr \"\"\n\"Content-Type: text/plain; charset=UTF-8\\n\"\n\"Plural-Forms: nplurals=2; plural=(n > 1);\\n\"\n\n"

func french(t *testing.T, entries string) *Language {
	t.Helper()
	l, err := Load(fstest.MapFS{"fr/a.po": {Data: []byte(head + entries)}}, "fr")
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestSay(t *testing.T) {
	fr := french(t, `
msgid "Ripe by %s in %s"
msgstr "Mûr en %[2]s le %[1]s"

msgid "open"
msgstr "ouvrir"

msgctxt "of a site"
msgid "open"
msgstr "dégagé"

msgid "%d night"
msgid_plural "%d nights"
msgstr[0] "%d nuit"
msgstr[1] "%d nuits"

msgid "100 %% sure"
msgstr "sûr à 100 %%"
`)
	for _, c := range []struct{ got, want string }{
		{fr.Say("Ripe by %s in %s", "1er août", "pot"), "Mûr en pot le 1er août"},
		{fr.Say("open"), "ouvrir"},
		{fr.Say("open|of a site"), "dégagé"},
		{fr.Count(0, "%d night", "%d nights", 0), "0 nuit"},
		{fr.Count(1, "%d night", "%d nights", 1), "1 nuit"},
		{fr.Count(2, "%d night", "%d nights", 2), "2 nuits"},
		{fr.Say("100 %% sure"), "sûr à 100 %"},
		{English().Say("open|of a site"), "open"},
		{English().Say("100 %% sure"), "100 % sure"},
		{English().Count(0, "%d night", "%d nights", 0), "0 nights"},
		{English().Count(1, "%d night|of cold", "%d nights", 1), "1 night"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
	if got := fr.Missing(); len(got) != 0 {
		t.Errorf("missing %q", got)
	}
	if got := fr.Say("not there, %d", 3) + fr.Count(2, "a cat", "cats"); got != "not there, 3cats" {
		t.Errorf("without a translation: %q", got)
	}
	if got := fr.Missing(); !slices.Equal(got, []string{"a cat", "not there, %d"}) {
		t.Errorf("missing %q", got)
	}
}

func TestLoadRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		tag, entries, want string
	}{
		"two meanings of one key": {"fr", "msgid \"open\"\nmsgstr \"ouvrir\"\n", "translated twice"},
		"no forms":                {"xx", "", "build/words/forms.go"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Load(fstest.MapFS{"fr/a.po": {Data: []byte(head + "msgid \"open\"\nmsgstr \"ouvert\"\n")}, "fr/b.po": {Data: []byte(head + c.entries)}}, c.tag)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%v", err)
			}
		})
	}
}

func TestSources(t *testing.T) {
	fr := french(t, `
msgid "What to do, {{.Year}}"
msgstr "Que faire, {{.Year}}"

msgid "# rows"
msgstr "# « lignes »"
`)
	if got := fr.Template("<h2 id=x>[[What to do,\n {{.Year}}]]</h2>"); got != "<h2 id=x>Que faire, {{.Year}}</h2>" {
		t.Errorf("%q", got)
	}
	if got := string(fr.Script([]byte(`f(say("# rows").replace("#", n), say(n))`))); got != `f("# « lignes »".replace("#", n), say(n))` {
		t.Errorf("%q", got)
	}
	if got := string(English().Script([]byte(`say("of \"it\"|x")`))); got != `"of \"it\""` {
		t.Errorf("%q", got)
	}
}

// Sources of the French forms: forms.go.
func TestForms(t *testing.T) {
	en, fr := formsOf["en"], formsOf["fr"]
	for _, c := range []struct{ got, want string }{
		{en.Whole(1234567), "1,234,567"}, {fr.Whole(1234567), "1\u202f234\u202f567"},
		{en.Fixed(-0.04, 1), "0.0"}, {fr.Fixed(12.34, 1), "12,3"}, {fr.Trimmed(12.0, 1), "12"}, {fr.Trimmed(0.25, 2), "0,25"},
		{fr.Signed(-3.5, 1), "−3,5"}, {fr.Plus(3.5, 1), "+3,5"}, {fr.Plus(0.01, 1), "0,0"}, {fr.Grouped(-12345.6), "−12\u202f346"},
		{fr.Date(5, 1), "1er\u00a0mai"}, {fr.ShortDate(2, 12), "12\u00a0févr."}, {en.Date(5, 1), "1\u00a0May"},
		{fr.Number(3), "trois"}, {fr.Number(13), "13"},
		{fr.List([]string{"a", "b", "c"}), "a, b et c"}, {fr.List(nil), ""}, {en.List([]string{"a"}), "a"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

// A language is declared whole.
func TestEveryLanguageIsDeclaredWhole(t *testing.T) {
	tags := Tags()
	if len(tags) < 2 || tags[0] != "en" {
		t.Fatalf("languages %q", tags)
	}
	names := map[string]string{}
	for _, tag := range tags {
		f := FormsIn(tag)
		for what, text := range map[string]string{"own name": f.OwnName, "English name": f.EnglishName, "locale": f.Locale, "decimal mark": f.decimal, "mark between thousands": f.group, "and": strings.TrimSpace(f.and)} {
			if text == "" {
				t.Errorf("%s has no %s", tag, what)
			}
		}
		if !strings.HasPrefix(f.Locale, tag+"_") {
			t.Errorf("%s has the locale %q", tag, f.Locale)
		}
		if other := names[f.OwnName]; other != "" {
			t.Errorf("%s and %s have one name", tag, other)
		}
		names[f.OwnName] = tag
		for m := range 12 {
			if f.Months[m] == "" || f.ShortMonths[m] == "" {
				t.Errorf("%s has no month %d", tag, m+1)
			}
		}
		if len(f.numbers) != 13 || f.dayOfMonth == nil || f.plural == nil {
			t.Errorf("%s spells %d numbers, want 0 to 12; days of a month: %v, forms for many: %v", tag, len(f.numbers), f.dayOfMonth != nil, f.plural != nil)
		}
	}
	if FormsIn("xx").OwnName != "" {
		t.Error("a language that is not there has a name")
	}
}
