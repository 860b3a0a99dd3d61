package content_test

import (
	"html/template"
	"io/fs"
	"math"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ripeward/build/prose"
	"ripeward/content"
)

// pages renders every page of the default content, data blocks left empty.
func pages(t *testing.T) map[string]prose.Page {
	t.Helper()
	blocks := map[string]prose.Block{}
	for _, word := range []string{"zones", "methods-table", "class-needs", "caution", "mixes", "pots", "feeds"} {
		blocks[word] = func(prose.Call) (template.HTML, error) { return "", nil }
	}
	out := map[string]prose.Page{}
	err := fs.WalkDir(content.Files, ".", func(p string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		src, err := fs.ReadFile(content.Files, p)
		if err != nil {
			return err
		}
		page, problems := prose.Render(p, src, prose.Options{Blocks: blocks})
		for _, x := range problems {
			t.Error(x.Error())
		}
		out[p] = page
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestGuidesAreThereAndOfReadableLength(t *testing.T) {
	all := pages(t)
	orders := map[int]string{}
	for _, name := range []string{"how-to-read", "choosing", "waking-and-hardening-off", "potting-and-feeding", "winter-storage", "ground-protection", "hazards"} {
		p, ok := all["guides/"+name+".md"]
		if !ok {
			t.Errorf("no guide %s", name)
			continue
		}
		if p.Words < 500 || p.Words > 920 {
			t.Errorf("%s: %d words, want 500 to 920", name, p.Words)
		}
		if p.Card.Title == "" || p.Card.Summary == "" || p.Card.Language != "en" {
			t.Errorf("%s: the page card is not complete: %+v", name, p.Card)
		}
		if other, taken := orders[p.Card.Order]; taken {
			t.Errorf("%s and %s have the same order", name, other)
		}
		orders[p.Card.Order] = name
		for i, h := range p.Headings {
			if h.Level == 1 || i > 0 && h.Level > p.Headings[i-1].Level+1 {
				t.Errorf("%s: heading %q is out of order", name, h.Text)
			}
		}
	}
	if _, ok := all["home.md"]; !ok {
		t.Error("no home.md")
	}
}

// sitePages are the folders of the finished site that a text may point to.
var sitePages = []string{"/methods/", "/downloads/", "/data-quality/", "/plan/", "/how-good/", "/cultivars/"}

func TestLinksLeadSomewhere(t *testing.T) {
	for name, p := range pages(t) {
		for _, link := range p.Links {
			if strings.HasPrefix(link, "/") {
				if !slices.Contains(sitePages, link) {
					t.Errorf("%s: link to %s, which is no page of the site", name, link)
				}
				continue
			}
			if _, err := fs.Stat(content.Files, path.Join(path.Dir(name), link)); err != nil {
				t.Errorf("%s: link to %s: %v", name, link, err)
			}
		}
	}
}

// A hazard named in a guide has its caution beside it.
func TestCautionsStandWhereTheHazardIs(t *testing.T) {
	for _, c := range []struct {
		guide    string
		cautions []string
	}{
		{"waking-and-hardening-off", []string{"electricity", "lifting", "heaters"}},
		{"potting-and-feeding", []string{"lifting", "sap"}},
		{"winter-storage", []string{"lifting", "heaters", "electricity", "storage-fumes", "mould", "bait"}},
		{"ground-protection", []string{"electricity", "sap", "bait", "lifting", "mould"}},
		{"hazards", []string{"sap", "eating", "heaters", "storage-fumes", "electricity", "lifting", "ladder", "bait", "mould", "snow", "sprays", "moving-plants"}},
	} {
		src, err := fs.ReadFile(content.Files, "guides/"+c.guide+".md")
		if err != nil {
			t.Fatal(err)
		}
		for _, key := range c.cautions {
			if !strings.Contains(string(src), "```ripeward:caution about="+key+"\n") {
				t.Errorf("%s: no caution about %s", c.guide, key)
			}
		}
	}
}

// A paragraph that speaks of °C gives °F too, and what stands in brackets is
// the same temperature (within the rounding to whole degrees) or the same
// difference of temperature.
func TestTemperaturesComeInBothUnits(t *testing.T) {
	pair := regexp.MustCompile(`(?:(−?[0-9][0-9.,]*) (?:to|à) )?(−?[0-9][0-9.,]*)[ \x{a0}]°C \((?:(−?[0-9][0-9.,]*) (?:to|à) )?(−?[0-9][0-9.,]*)[ \x{a0}]°F\)`)
	pairs := 0
	err := fs.WalkDir(content.Files, ".", func(p string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		src, err := fs.ReadFile(content.Files, p)
		if err != nil {
			return err
		}
		for _, paragraph := range strings.Split(string(src), "\n\n") {
			if strings.Contains(paragraph, "°C") && !strings.Contains(paragraph, "°F") {
				t.Errorf("%s: no °F in %q", p, paragraph)
			}
		}
		for _, m := range pair.FindAllStringSubmatch(string(src), -1) {
			pairs++
			var c, f []float64
			for i, cell := range m[1:] {
				if cell == "" {
					continue
				}
				v, err := strconv.ParseFloat(strings.NewReplacer("−", "-", ",", ".").Replace(cell), 64)
				if err != nil {
					t.Errorf("%s: %q: %v", p, m[0], err)
				}
				if i < 2 {
					c = append(c, v)
				} else {
					f = append(f, v)
				}
			}
			if len(c) != len(f) {
				t.Errorf("%s: %q: not the same number of ends", p, m[0])
				continue
			}
			level, difference := true, true
			for i := range c {
				level = level && math.Abs(c[i]*1.8+32-f[i]) <= 1
				difference = difference && math.Abs(c[i]*1.8-f[i]) <= 1
			}
			if !level && !difference {
				t.Errorf("%s: %q is neither the same temperature nor the same difference", p, m[0])
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if pairs < 80 {
		t.Errorf("only %d pairs of temperatures found: the pattern no longer fits the text", pairs)
	}
}
