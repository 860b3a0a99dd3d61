package club_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ripeward/build/club"
	"ripeward/build/diag"
)

func TestSettings(t *testing.T) {
	c, ps := load(t, write(t, map[string]string{"data/club.toml": "\ufeff" + `
name = " Tiny Club "
name_fr = "Petit cercle"
tagline = "Figs"
notice_fr = "Inventé"
languages = ["fr", "en"]
home_units = "us"
site_url = "https://example.org/almanac/"
reference_years = "1991-2020"
plan_year = 2027
lapse_c_per_km = 0
hours_per_indoor_week = 0
energy_price_per_kwh = 0.25
currency = "EUR"
keep = [".git", "CNAME"]
date_order = "month-first"
`}), club.Options{})
	if len(ps) > 0 {
		t.Fatalf("problems: %q", said(ps))
	}
	s := c.Settings
	if s.Name != "Tiny Club" || s.Other["name_fr"] != "Petit cercle" || s.Other["notice_fr"] != "Inventé" || len(s.Other) != 2 ||
		!slices.Equal(s.Languages, []string{"fr", "en"}) || s.HomeUnits != "us" || s.SiteURL != "https://example.org/almanac/" ||
		s.FirstRef != 1991 || s.LastRef != 2020 || s.PlanYear != 2027 || s.EnergyPrice != 0.25 ||
		!slices.Equal(s.Keep, []string{".git", "CNAME"}) || s.DateOrder != "month-first" {
		t.Errorf("settings %+v", s)
	}
	// A zero that is written is not "not set".
	if s.LapseCPerKm != 0 || s.HoursPerWeek != 0 {
		t.Errorf("lapse %v, hours %v", s.LapseCPerKm, s.HoursPerWeek)
	}
}

func TestBrokenSettings(t *testing.T) {
	const name = "name = \"Tiny\"\n"
	for _, b := range []struct {
		name, text string
		want       []string
	}{
		{"almost empty", "# c\n", []string{`:1:1: the club has no name | write name = "..."`}},
		{"blank name", "name = \" \"\n", []string{`:1:8: the club's name is blank`}},
		{"name of a wrong type", "\nname = 3\n", []string{`:2:8: name is not a text | write name = "..."`}},
		{"syntax", name + "tagline = Figs\n", []string{
			`:2:11: expected value but found "Figs" instead | texts stand in quotation marks: tagline = "Figs"`}},
		{"printer's quotation marks", name + "tagline = “Figs for all”\n", []string{
			`:2:11: expected value but found '“' instead | write straight quotation marks: tagline = "Figs for all"`}},
		{"decimal comma", name + "energy_price_per_kwh = 0,18\n", []string{
			`:2:25: expected a top-level item to end with a newline, comment, or EOF, but got ',' instead | write a decimal point: energy_price_per_kwh = 0.18`}},
		{"one quotation mark", name + "tagline = \"Figs\n", []string{
			`:2:16: strings cannot contain newlines | a quotation mark on each side: tagline = "Figs"`}},
		{"no equals sign", name + "Our new club\n", []string{
			`:2:5: expected '.' or '=', but got 'n' instead | a line is a name, an equals sign and a value: name = "Our Circle"; remarks begin with #`}},
		{"key twice", name + name, []string{`:2:1: key 'name' has already been defined | keep one of the two lines`}},
		{"not UTF-8", name + "tagline = \"\xe9\"\n", []string{`:2:12: byte 0xE9 is not UTF-8 text | save the file as UTF-8`}},
		{"unknown settings", name + "  home_unit = \"us\"\nweather = 3\n[site]\nurl = \"x\"\n", []string{
			`:2:3: warning: unknown setting "home_unit" is not read | did you mean home_units?`,
			`:3:1: warning: unknown setting "weather" is not read | settings: contact, currency, data_licence, date_order, energy_price_per_kwh, home_units, hours_per_indoor_week, keep, languages, lapse_c_per_km, name, notice, plan_year, reference_years, site_url, tagline`,
			`:4:1: warning: unknown table "site" is not read | all settings stand at the top level`}},
		{"look-alike in a text", name + "notice = \"\"\"\nhome_unit = 3\n\"\"\"\n", nil},
		{"every type wrong", `
name = true
tagline = 1
languages = "en"
home_units = 1
site_url = 1
reference_years = 1991
plan_year = "2027"
lapse_c_per_km = "6.5"
hours_per_indoor_week = true
keep = [1]
tagline_fr = 1.5
`, []string{
			`:2:8: name is not a text | write name = "..."`,
			`:3:11: tagline is not a text | write tagline = "..."`,
			`:4:13: languages is not a list of texts`,
			`:5:14: home_units is not a text | write home_units = "..."`,
			`:6:12: site_url is not a text | write site_url = "..."`,
			`:7:19: reference_years is not a text | write reference_years = "1991-2020"`,
			`:8:13: plan_year is not a whole number`,
			`:9:18: lapse_c_per_km is not a number | leave the quotation marks out`,
			`:10:25: hours_per_indoor_week is not a number`,
			`:11:8: keep is not a list of texts | write keep = ["...", "..."]`,
			`:12:14: tagline_fr is not a text | write tagline_fr = "..."`}},
		{"values", name + `languages = ["en", "fra"]
home_units = "metrics"
date_order = "year-first"
plan_year = 27
lapse_c_per_km = nan
hours_per_indoor_week = -1
`, []string{
			`:2:13: language "fra" is not one of ` + strings.Join(club.Languages, ", ") + ` | did you mean "fr"?`,
			`:3:14: home_units "metrics" is not one of metric, us | did you mean "metric"?`,
			`:4:14: date_order "year-first" is not one of day-first, month-first | did you mean "day-first"?`,
			`:5:13: plan_year is outside 1600 to 2200`,
			`:6:18: lapse_c_per_km is outside 0 to 10`,
			`:7:25: hours_per_indoor_week is outside 0 to 168`}},
		{"language twice", name + `languages = ["en", "en"]`, []string{`:2:13: language "en" stands twice`}},
		{"years unquoted", name + "reference_years = 1991-2020\n", []string{
			`:2:19: invalid datetime: "1991-2020" | texts stand in quotation marks: reference_years = "1991-2020"`}},
		{"years not two", name + `reference_years = "1991"`, []string{`:2:19: reference_years "1991" is not two years | write reference_years = "1991-2020"`}},
		{"years backwards", name + `reference_years = "2020-1991"`, []string{`:2:19: reference_years "2020-1991" ends before it begins | did you mean "1991-2020"?`}},
		{"years of another age", name + `reference_years = "0091-2020"`, []string{`:2:19: reference_years "0091-2020" is outside 1600 to 2200`}},
		{"few years", name + `reference_years = "2018-2020"`, []string{`:2:19: warning: reference_years "2018-2020" spans only 3 years | 30 years is the usual span`}},
		{"address without a scheme", name + `site_url = "example.org"`, []string{`:2:12: site_url "example.org" is not a web address | write the address of the home page, like https://example.org/almanac/`}},
		{"address of a script", name + `site_url = "javascript://example.org/"`, []string{`:2:12: site_url "javascript://example.org/" is not a web address | write the address of the home page, like https://example.org/almanac/`}},
		{"address with a query", name + `site_url = "https://example.org/?a=b"`, []string{`:2:12: site_url "https://example.org/?a=b" has a query or a fragment | write the address of the home page, like https://example.org/almanac/`}},
		{"address with a password", name + `site_url = "https://a:b@example.org/"`, []string{`:2:12: site_url holds a user name | write the address of the home page, like https://example.org/almanac/`}},
		{"keep out of the folder", name + `keep = ["CNAME", "../up"]`, []string{`:2:8: keep entry "../up" is not a plain name | name files and folders that stand directly in the site folder, like CNAME`}},
	} {
		t.Run(b.name, func(t *testing.T) {
			_, ps := load(t, write(t, map[string]string{"data/club.toml": b.text}), club.Options{})
			var want []string
			for _, w := range b.want {
				want = append(want, "data/club.toml"+w)
			}
			if got := said(ps); !slices.Equal(got, want) {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
			}
		})
	}
}

// Whatever stands in club.toml: no panic, and defaults where nothing was read.
func FuzzSettings(f *testing.F) {
	f.Add("name = \"T\"\nkeep = [\"a\"]\nreference_years = \"1991-2020\"\n[x]\ny = 1\n")
	f.Add("name.x = 3\nlapse_c_per_km = nan\nplan_year = 1e9\n")
	f.Add("languages = [[\"en\"]]\nsite_url = \"https://[::1\"\n'' = \"\"\n")
	dir := write(f, nil)
	file := filepath.Join(dir, "data", "club.toml")
	f.Fuzz(func(t *testing.T, text string) {
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		c, ps, err := club.Load(dir, club.Options{})
		if err != nil {
			t.Fatal(err)
		}
		s := c.Settings
		if len(s.Languages) == 0 || s.HomeUnits == "" || !(s.LapseCPerKm >= 0 && s.LapseCPerKm <= 10) || s.FirstRef > s.LastRef {
			t.Errorf("settings %+v", s)
		}
		if s.Name == "" && ps.Count(diag.Error) == 0 {
			t.Error("a club without a name, and no error")
		}
		lines := strings.Split(text, "\n")
		for _, p := range ps {
			if p.Place.Line > len(lines) || p.Place.Line > 0 && p.Place.Column > len(lines[p.Place.Line-1])+1 {
				t.Errorf("%v is outside the file %q", p, text)
			}
		}
	})
}
