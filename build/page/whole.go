package page

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"ripeward/build/diag"
	"ripeward/templates"
)

// Files that stand for the whole site, at places that browsers and hosts know
// or that must not change with their bytes.
const (
	workerPath  = "worker.js"
	webAppPath  = "app.webmanifest"
	robotsPath  = "robots.txt"
	faviconPath = "favicon.ico"
	lostPath    = "404.html"
	awayPath    = "offline.html" // stands in, without a connection, for a page that is not kept
)

// What a publish without site_url is told.
const (
	noAddress     = "site_url is not set: no canonical addresses, no sitemap, no feed, and the page for lost links fits the top folder only"
	noAddressHint = `write site_url = "https://example.org/almanac/" with the address the site will have`
)

// The service worker fetches so much before anybody asks for it, at most.
const (
	mostFirst      = 40
	mostFirstBytes = 600_000
)

// whole writes what speaks of the whole site, after all pages: the service
// worker, which must change whenever a page does, comes last.
func whole(all []*rendering) error {
	for _, r := range all {
		if err := r.about(); err != nil {
			return err
		}
	}
	r := all[0]
	s := r.site
	if err := r.page(lostPath, "lost", s.Say("Page not found"), s.Say("There is no such page."), nil, lostIn(all)); err != nil {
		return err
	}
	for at, data := range map[string][]byte{faviconPath: s.assets.favicon, robotsPath: s.robots()} {
		if err := r.emit(at, data); err != nil {
			return err
		}
	}
	if s.club.Settings.SiteURL == "" {
		r.note(diag.Problem{Place: diag.Place{File: "data/club.toml"}, Severity: diag.Note, Message: noAddress, Hint: noAddressHint})
	}
	if err := r.sitemap(); err != nil {
		return err
	}
	worker, err := r.worker(all)
	if err != nil {
		return err
	}
	return r.emit(workerPath, worker)
}

// lostPage is the page for what is not there: it is in the first language,
// with a line in each of the others.
type lostPage struct {
	Home   string
	Others []lostLine
}

type lostLine struct{ Lang, Text, Link, Home string }

func lostIn(all []*rendering) lostPage {
	top := all[0].site.basePath
	m := lostPage{Home: paths{top}.home()}
	for _, r := range all[1:] {
		s := r.site
		m.Others = append(m.Others, lostLine{s.Tag, s.Say("There is no such page."), s.Say("To the first page"), paths{top + s.below}.home()})
	}
	return m
}

// about writes what speaks of all pages in one language.
func (r *rendering) about() error {
	s := r.site
	if err := r.page(awayPath, "offline", s.Say("Not on your device"), s.Say("What can be read of the almanac without a connection."), nil, s.clubName()); err != nil {
		return err
	}
	app, err := s.webApp()
	if err != nil {
		return err
	}
	if err := r.emit(webAppPath, app); err != nil || !s.hasFeed() {
		return err
	}
	feed, err := s.feed()
	if err != nil {
		return err
	}
	return r.emit(feedPath, feed)
}

// robots lets every program read everything (RFC 9309), and says where the
// sitemap is. Hosts look for it at their root alone; below it does nothing.
func (s *site) robots() []byte {
	text := "User-agent: *\nAllow: /\n"
	if s.club.Settings.SiteURL != "" {
		text += "Sitemap: " + s.address("sitemap.xml") + "\n"
	}
	return []byte(text)
}

// webApp is the manifest of the site as an application of its own (W3C Web
// Application Manifest). Its addresses are seen from its own place, so that it
// holds under any folder of a host. It has no id: one would be read against
// the host's root, and sites that share a host would be one application. Each
// language is an application that starts on its own first page; all of them
// reach over the whole site, so that a reader may change the language within.
func (s *site) webApp() ([]byte, error) {
	type picture struct {
		Src     string `json:"src"`
		Sizes   string `json:"sizes"`
		Type    string `json:"type"`
		Purpose string `json:"purpose"`
	}
	app := struct {
		Name        string    `json:"name"`
		ShortName   string    `json:"short_name"`
		Description string    `json:"description,omitempty"`
		Lang        string    `json:"lang"`
		Dir         string    `json:"dir"`
		StartURL    string    `json:"start_url"`
		Scope       string    `json:"scope"`
		Display     string    `json:"display"`
		Background  string    `json:"background_color"`
		Theme       string    `json:"theme_color"`
		Icons       []picture `json:"icons"`
	}{
		Name: s.clubName(), ShortName: shortName(s.clubName()), Description: s.tagline(), Lang: s.Tag, Dir: "ltr",
		StartURL: "./", Scope: "./" + s.top(""), Display: "standalone", Background: paperColour("light"), Theme: paperColour("light"),
		Icons: []picture{
			{s.top("") + s.assets.Icon192, "192x192", "image/png", "any"}, {s.top("") + s.assets.Icon512, "512x512", "image/png", "any"},
			{s.top("") + s.assets.Mask192, "192x192", "image/png", "maskable"}, {s.top("") + s.assets.Mask512, "512x512", "image/png", "maskable"},
		},
	}
	data, err := json.MarshalIndent(app, "", " ")
	return append(data, '\n'), err
}

// shortName is what fits under an icon: as many whole words of the name as
// twelve letters hold (common practice), or the first word.
func shortName(name string) string {
	words := strings.Fields(name)
	short := ""
	for _, w := range words {
		next := strings.TrimSpace(short + " " + w)
		if short != "" && utf8.RuneCountInString(next) > 12 {
			break
		}
		short = next
	}
	return short
}

// keepable tells whether the service worker may keep a file.
func keepable(at string) bool {
	return strings.HasSuffix(at, ".html") && !isOneFile(at) || strings.HasSuffix(at, ".js") || strings.HasPrefix(at, "assets/")
}

// worker is the service worker's file: a line of settings, then the script.
// Its version is a sum of all files that it may keep.
func (r *rendering) worker(all []*rendering) ([]byte, error) {
	script, err := templates.Files.ReadFile("assets/worker.js")
	if err != nil {
		return nil, err
	}
	sum := sha256.New()
	for _, at := range slices.Sorted(maps.Keys(r.sums)) {
		fmt.Fprintf(sum, "%s %x\n", at, r.sums[at])
	}
	away := map[string]string{}
	for _, x := range all {
		away[x.site.below] = x.site.below + awayPath
	}
	lost := ""
	if r.site.basePath == "" {
		lost = lostPath // its links are right at its own address alone
	}
	settings, err := json.Marshal(struct {
		Version string            `json:"version"`
		First   []string          `json:"first"`
		Away    map[string]string `json:"away"`
		Lost    string            `json:"lost,omitempty"`
	}{hex.EncodeToString(sum.Sum(nil)[:8]), fromStart(all), away, lost})
	if err != nil {
		return nil, err
	}
	return slices.Concat([]byte("const SITE = "), settings, []byte(";\n"), script), nil
}

// fromStart lists what the service worker keeps from the start: the first page and
// the page that stands in, in each language, and the style sheet, scripts and
// small drawings, as many as the bounds allow.
func fromStart(all []*rendering) []string {
	var out []string
	files := map[string][]byte{}
	for _, r := range all {
		out = append(out, r.site.below+"index.html", r.site.below+awayPath)
		maps.Copy(files, r.site.assets.files)
	}
	bytes := 0
	for _, at := range slices.Sorted(maps.Keys(files)) {
		n := len(files[at])
		if strings.HasSuffix(at, ".png") || len(out) == mostFirst || bytes+n > mostFirstBytes {
			continue
		}
		out, bytes = append(out, at), bytes+n
	}
	return out
}
