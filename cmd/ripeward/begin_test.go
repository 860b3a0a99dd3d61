package main

import (
	"encoding/json"
	"io/fs"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// newClub publishes a new club in a language and returns its folder and its
// site.
func newClub(t *testing.T, language string) (club, site string) {
	t.Helper()
	club = filepath.Join(t.TempDir(), "club")
	site = filepath.Join(club, "site")
	for _, args := range [][]string{{"begin", "--language", language, club}, {"publish", "--club", club, "--site", site}} {
		var out, errs strings.Builder
		if code := run(t.Context(), &out, &errs, args); code != done || strings.Contains(errs.String(), "warning") {
			t.Fatalf("%s: exit %d: %s", args[0], code, errs.String())
		}
	}
	return club, site
}

// TestNewClubIsWhole walks through the sites of new clubs: every link leads
// somewhere, and every page says that it is invented.
func TestNewClubIsWhole(t *testing.T) {
	for language, notices := range map[string][2]string{"en": {"Invented: ", "Inventé : "}, "fr": {"Inventé : ", "Invented: "}} {
		t.Run(language, func(t *testing.T) {
			_, site := newClub(t, language)
			ids, links, pages := map[string]map[string]bool{}, map[string][]string{}, 0
			err := filepath.WalkDir(site, func(p string, e fs.DirEntry, err error) error {
				if err != nil || e.IsDir() {
					return err
				}
				rel, err := filepath.Rel(site, p)
				if err != nil {
					return err
				}
				at := filepath.ToSlash(rel)
				ids[at] = map[string]bool{}
				if filepath.Ext(p) != ".html" {
					return nil
				}
				src, err := os.ReadFile(p)
				if err != nil {
					return err
				}
				pages++
				notice := notices[0]
				if strings.HasPrefix(at, "en/") || strings.HasPrefix(at, "fr/") {
					notice = notices[1]
				}
				if !strings.Contains(string(src), notice) {
					t.Errorf("%s does not say that it is invented", at)
				}
				doc, err := html.Parse(strings.NewReader(string(src)))
				if err != nil {
					return err
				}
				for n := range doc.Descendants() {
					for _, a := range n.Attr {
						switch a.Key {
						case "id":
							ids[at][a.Val] = true
						case "href", "src":
							links[at] = append(links[at], a.Val)
						}
					}
				}
				return nil
			})
			if err != nil {
				t.Fatal(err)
			}
			if pages < 100 {
				t.Errorf("%d pages", pages)
			}
			for from, list := range links {
				for _, link := range list {
					u, err := url.Parse(link)
					if err != nil {
						t.Errorf("%s: %v", from, err)
						continue
					}
					if u.Scheme != "" {
						continue
					}
					to := from
					if u.Path != "" {
						to = path.Join(path.Dir(from), u.Path)
					}
					if ids[to] == nil {
						t.Errorf("%s: %s leads nowhere", from, link)
					} else if u.Fragment != "" && strings.HasSuffix(to, ".html") && !strings.Contains(u.Fragment, "=") && !ids[to][u.Fragment] {
						t.Errorf("%s: %s leads to no place of its page", from, link)
					}
				}
			}
		})
	}
}

// TestResultsAsJSON: every command that prints a result prints it for programs
// too.
func TestResultsAsJSON(t *testing.T) {
	club, site := newClub(t, "en")
	for _, args := range [][]string{
		{"publish", "--site", site}, {"inspect"}, {"inspect", "--reports"}, {"inspect", "--roll-call"},
		{"explain", "inkwell-green", "inkpot", "pot-plain"}, {"explain", "inkwell-green", "inkpot", "pot-plain", "--year", "2020"},
		{"season", filepath.Join(club, "data", "stations", "inkwell-sluice.csv")}, {"season", "--list"}, {"version"},
		{"begin", filepath.Join(club, "another")},
	} {
		var out, errs strings.Builder
		code := run(t.Context(), &out, &errs, append(args, "--club", club, "--format", "json"))
		if code != done || !json.Valid([]byte(out.String())) {
			t.Errorf("%q: exit %d, %.200s%s", args, code, out.String(), errs.String())
		}
	}
}
