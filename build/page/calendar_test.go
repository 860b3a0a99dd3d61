package page_test

import (
	"bytes"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"ripeward/build/almanac"
	"ripeward/build/calendar"
	"ripeward/build/club"
	"ripeward/build/day"
	"ripeward/build/page"
)

// events reads the lines of a calendar, unfolded, as one map an event.
func events(t *testing.T, data []byte) []map[string]string {
	t.Helper()
	var out []map[string]string
	for _, line := range strings.Split(strings.ReplaceAll(string(data), "\r\n ", ""), "\r\n") {
		name, value, _ := strings.Cut(line, ":")
		name, _, _ = strings.Cut(name, ";")
		switch {
		case line == "BEGIN:VEVENT":
			out = append(out, map[string]string{})
		case len(out) > 0 && name != "END":
			out[len(out)-1][name] = value
		}
	}
	return out
}

func calendarsIn(files map[string][]byte) []string {
	var out []string
	for at := range files {
		if strings.HasSuffix(at, ".ics") {
			out = append(out, at)
		}
	}
	slices.Sort(out)
	return out
}

// There is a calendar for each town and method that has jobs, with their
// windows, and its events say where they come from.
func TestCalendars(t *testing.T) {
	b, files := demoBook(t), demoSite(t)
	n := 0
	for i := range b.Towns {
		town := &b.Towns[i]
		for j := range b.Club.Methods {
			m := string(b.Club.Methods[j].ID)
			due := map[string]almanac.TaskDate{}
			for _, d := range town.Tasks {
				if d.Method == m {
					due[calendar.UID(b.Club.Settings.Name, string(town.Row.ID), m, d.Task)] = d
				}
			}
			at := fmt.Sprintf("calendar/%s-%s.ics", town.Row.ID, m)
			if len(due) == 0 {
				t.Errorf("%s, %s: no job", town.Row.ID, m)
				continue
			}
			n++
			got := events(t, files[at])
			if len(got) != len(due) {
				t.Errorf("%s has %d events for %d jobs", at, len(got), len(due))
			}
			for _, e := range got {
				d, ok := due[e["UID"]]
				from, until := strings.ReplaceAll(d.From.String(), "-", ""), strings.ReplaceAll((d.Until+1).String(), "-", "")
				if !ok || e["DTSTART"] != from || e["DTEND"] != until || e["SEQUENCE"] != "0" || e["DTSTAMP"] != strings.ReplaceAll(b.CutOff.String(), "-", "")+"T000000Z" {
					t.Errorf("%s: %v is not %+v", at, e, d)
				}
				if !strings.HasSuffix(e["SUMMARY"], " – "+string(town.Row.Name)) {
					t.Errorf("%s: %q does not name the town", at, e["SUMMARY"])
				}
				for _, must := range []string{"not a forecast", "check your national weather service", fmt.Sprintf("%d–%d", b.Span.First, b.Span.Last)} {
					if !strings.Contains(e["DESCRIPTION"], must) {
						t.Errorf("%s: %q does not say %q", at, e["DESCRIPTION"], must)
					}
				}
				if e["URL"] != "" {
					t.Errorf("%s: %q without an address of the site", at, e["URL"])
				}
			}
		}
	}
	if got := len(calendarsIn(files)); got != n || n < 50 {
		t.Errorf("%d calendars for %d towns and methods", got, n)
	}
	// A hazard goes along in few words.
	heated := string(bytes.Join([][]byte{files["calendar/velloway-tent-heated.ics"]}, nil))
	if heated = strings.ReplaceAll(heated, "\r\n ", ""); !strings.Contains(heated, "carbon monoxide") || !strings.Contains(heated, "licensed electrician") {
		t.Error("a heated tent's calendar has no caution about its heater")
	}
}

// Awkward names are escaped, the address leads to the list, and there is no
// event without a day.
func TestCalendarOfAnAwkwardClub(t *testing.T) {
	files, _ := render(t, hard(), page.Options{})
	got := calendarsIn(files)
	if want := []string{"calendar/aa-early-pot.ics", "calendar/aa-ground.ics", "calendar/aa-pot.ics"}; !slices.Equal(got, want) {
		t.Fatalf("calendars %v, want %v", got, want)
	}
	list := events(t, files[got[0]])
	if len(list) != 2 || list[0]["DTEND"] != "20210302" { // no last day: its first day alone
		t.Fatalf("%v", list)
	}
	e := list[1]
	if e["SUMMARY"] != `Wake & shake – A&A's "Town"` || !strings.Contains(e["DESCRIPTION"], `Because <why>\nTake care: Electricity near water`) || !strings.Contains(e["DESCRIPTION"], "mind the <cat>") {
		t.Errorf("%v", e)
	}
	if e["URL"] != "https://almanac.example.org/figs/towns/aa/year/#jobs-early-pot" {
		t.Errorf("URL %q", e["URL"])
	}
	if at := text(t, files, "towns/aa/year/index.html"); !strings.Contains(at, `id="jobs-early-pot"`) || !strings.Contains(at, "https://almanac.example.org/figs/calendar/aa-") {
		t.Error("the address leads nowhere, or is not given")
	}
}

// With French the same events stand in French below fr/, under the same ids.
func TestFrenchCalendars(t *testing.T) {
	b := demoBook(t)
	c := *b.Club
	two := *b
	two.Club, c.Settings.Languages = &c, []string{"en", "fr"}
	two.Towns = b.Towns[:1]
	files, _ := render(t, &two, page.Options{})
	town := string(two.Towns[0].Row.ID)
	for _, at := range calendarsIn(files) {
		if strings.HasPrefix(at, "fr/") {
			continue
		}
		en, fr := events(t, files[at]), events(t, files["fr/"+at])
		if len(en) == 0 || len(en) != len(fr) {
			t.Fatalf("%s: %d events, %d in French", at, len(en), len(fr))
		}
		for i := range en {
			for _, key := range []string{"UID", "DTSTART", "DTEND", "SEQUENCE", "DTSTAMP"} {
				if en[i][key] != fr[i][key] {
					t.Errorf("%s: %s is %q, in French %q", at, key, en[i][key], fr[i][key])
				}
			}
			if en[i]["SUMMARY"] == fr[i]["SUMMARY"] || !strings.Contains(fr[i]["DESCRIPTION"], "pas une prévision") || strings.Contains(fr[i]["DESCRIPTION"], "forecast") || strings.Contains(fr[i]["DESCRIPTION"], "Take care") {
				t.Errorf("%s: %v", at, fr[i])
			}
		}
	}
	fr := string(files["fr/calendar/"+town+"-pot-plain.ics"])
	if !strings.Contains(fr, "SUMMARY;LANGUAGE=fr:") || !strings.Contains(fr, "Cercle du figuier") || !strings.Contains(fr, "pot simple") {
		t.Errorf("%.600s", fr)
	}
	for _, below := range []string{"", "fr/"} {
		if at := text(t, files, below+"towns/"+town+"/year/index.html"); !strings.Contains(at, `href="../../../calendar/`+town+`-pot-plain.ics"`) {
			t.Errorf("the calendar is not linked below %q", below)
		}
	}
	// With French alone it stands at the root.
	c.Settings.Languages = []string{"fr"}
	files, _ = render(t, &two, page.Options{})
	if got := files["calendar/"+town+"-pot-plain.ics"]; string(got) != fr {
		t.Error("the first language does not stand at the root")
	}
}

// Every short caution has its long one and the other way round, in both
// languages.
func TestShortCautions(t *testing.T) {
	b := demoBook(t)
	for _, x := range b.Club.Tasks {
		for _, lang := range []string{"en", "fr"} {
			short := page.ShortCautionsIn(lang, string(x.Caution))
			if want := len(strings.FieldsFunc(string(x.Caution), func(r rune) bool { return r == ';' })); len(short) != want {
				t.Errorf("%s has %d cautions, %d of them in %s", x.ID, want, len(short), lang)
			}
		}
	}
	for _, key := range page.CautionKeys() {
		en, fr := page.ShortCautionsIn("en", key), page.ShortCautionsIn("fr", key)
		if len(en) != 1 || len(fr) != 1 || en[0] == fr[0] || len(en[0]) > 130 {
			t.Errorf("%s: %q, %q", key, en, fr)
		}
	}
	if got := page.ShortCautionsIn("fr", "sap;mind the cat"); len(got) != 2 || got[1] != "mind the cat" {
		t.Errorf("%q", got)
	}
}

// Publishing, closing the year, moving a task and publishing again: the event
// keeps its UID and its number rises by one; the others stay.
func TestMovedTask(t *testing.T) {
	b := hard()
	numbers := func(files map[string][]byte) map[string]string {
		out := map[string]string{}
		for _, at := range calendarsIn(files) {
			for _, e := range events(t, files[at]) {
				out[e["UID"]] = e["SEQUENCE"]
			}
		}
		return out
	}
	closeYear := func() {
		t.Helper()
		y, err := page.CloseYear(b)
		if err != nil {
			t.Fatal(err)
		}
		if y.PlanYear != b.PlanYear || y.DataCutOff != b.CutOff {
			t.Errorf("%+v", y)
		}
		b.Club.LastYear = &y
	}
	first, _ := render(t, b, page.Options{})
	closeYear()
	if len(b.Club.LastYear.Calendar) != 6 {
		t.Errorf("%d events in the baseline", len(b.Club.LastYear.Calendar))
	}
	again, _ := render(t, b, page.Options{})
	for _, at := range calendarsIn(first) {
		if !bytes.Equal(first[at], again[at]) {
			t.Errorf("%s differs after the year was closed", at)
		}
	}
	moved := calendar.UID(b.Club.Settings.Name, "aa", "pot", "wake")
	for round := 1; round <= 2; round++ {
		for i := range b.Towns[0].Tasks {
			if d := &b.Towns[0].Tasks[i]; d.Method == "pot" && d.Task == "wake" {
				d.From, d.Until = d.From+3, d.Until+3
			}
		}
		files, _ := render(t, b, page.Options{})
		got := numbers(files)
		if len(got) != 6 {
			t.Fatalf("%d ids", len(got))
		}
		for uid, n := range got {
			want := "0"
			if uid == moved {
				want = fmt.Sprint(round)
			}
			if n != want {
				t.Errorf("round %d: %s has number %s, want %s", round, uid, n, want)
			}
		}
		closeYear()
	}
	// A task that is gone keeps its entry: it may come back.
	old := maps.Clone(b.Club.LastYear.Calendar)
	b.Towns[0].Tasks = nil
	closeYear()
	if !maps.Equal(old, b.Club.LastYear.Calendar) {
		t.Error("the baseline forgot what is no longer published")
	}
}

// The year's page has every method's list with why and cautions, each in the
// order of its days.
func TestYearPage(t *testing.T) {
	b, files := demoBook(t), demoSite(t)
	for i := range b.Towns {
		town := &b.Towns[i]
		at := "towns/" + string(town.Row.ID) + "/year/index.html"
		d := parse(t, files[at])
		lists := 0
		for n := range d.root.Descendants() {
			if n.Type != html.ElementNode || n.Data != "ol" || attr(n, "class") != "tasks" {
				continue
			}
			lists++
			last := ""
			for x := range n.Descendants() {
				if x.Type == html.ElementNode && x.Data == "time" {
					if attr(x, "datetime") < last {
						t.Errorf("%s: %s comes after %s", at, attr(x, "datetime"), last)
					}
					last = attr(x, "datetime")
				}
			}
		}
		if lists != len(b.Club.Methods) {
			t.Errorf("%s has %d lists for %d methods", at, lists, len(b.Club.Methods))
		}
		all := textOf(d.root)
		for _, k := range b.Club.Tasks {
			dated := slices.ContainsFunc(town.Tasks, func(x almanac.TaskDate) bool { return x.Task == string(k.ID) })
			if dated && !strings.Contains(all, string(k.Why)) {
				t.Errorf("%s does not say why to %s", at, k.ID)
			}
		}
		for _, must := range []string{"carbon monoxide", "licensed electrician", "local fire code", "Subscribe"} {
			if !strings.Contains(all, must) {
				t.Errorf("%s does not say %q", at, must)
			}
		}
	}
}

// A day outside the plan's own season says its year.
func TestDaysOfAnotherYear(t *testing.T) {
	b := hard()
	b.Towns[0].Tasks = []almanac.TaskDate{{Method: "pot", Task: "wake", From: day.Of(2020, 12, 26), Until: day.Of(2021, 1, 4)}, {Method: "pot", Task: "stray", From: day.Of(2021, 4, 3), Until: day.Of(2021, 4, 17)}}
	files, _ := render(t, b, page.Options{})
	at := strings.ReplaceAll(text(t, files, "towns/aa/year/index.html"), "\u00a0", " ")
	for _, must := range []string{"26 December 2020 to 4 January<", ">3 to 17 April<"} {
		if !strings.Contains(at, must) {
			t.Errorf("the page does not say %q", must)
		}
	}
}

// The card of the week says, without a script, the first job after the data's
// end as what it is, and hides itself where there is none.
func TestWeekCard(t *testing.T) {
	b := hard()
	card := func() string {
		files, _ := render(t, b, page.Options{})
		got := regexp.MustCompile(`(?s)<section class="week".*?</section>`).FindString(text(t, files, "towns/aa/index.html"))
		return strings.ReplaceAll(got, "\u00a0", " ")
	}
	if got := card(); strings.Contains(got, `aria-labelledby="this-week" hidden`) || !strings.Contains(got, "The records end on 31 December 2020. The first job to begin after that day: <b>Stray</b>, 1 March.") {
		t.Errorf("%s", got)
	}
	b.CutOff = day.Of(2021, 12, 31)
	if got := card(); !strings.Contains(got, `aria-labelledby="this-week" hidden`) || strings.Contains(got, "records end") {
		t.Errorf("%s", got)
	}
}

// A club whose ids would give two calendars one name is told so.
func TestCalendarsOfOneName(t *testing.T) {
	b := hard()
	b.Club.Methods = append(b.Club.Methods, club.Method{ID: "b-pot", Name: "Other pot", Place: "pot"})
	b.Towns[0].Tasks = append(b.Towns[0].Tasks, almanac.TaskDate{Method: "b-pot", Task: "wake", From: day.Of(2021, 5, 1), Until: day.Of(2021, 5, 2)})
	x := b.Towns[0]
	x.Row.ID = "aa-b"
	b.Club.Towns = append(b.Club.Towns, x.Row)
	b.Towns = append(b.Towns, x)
	if _, err := page.Render(b, page.Options{}, func(string, []byte) error { return nil }); err == nil || !strings.Contains(err.Error(), "calendar/aa-b-pot.ics") {
		t.Errorf("%v", err)
	}
}
