package page_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"image/png"
	"io"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"ripeward/build/almanac"
	"ripeward/build/day"
	"ripeward/build/diag"
	"ripeward/build/page"
)

func addressedSite(t *testing.T) map[string][]byte {
	t.Helper()
	files, _ := render(t, hard(), page.Options{Version: "0"})
	return files
}

// workerSettings reads the first line of the service worker.
func workerSettings(t *testing.T, files map[string][]byte) (s struct {
	Version string
	Away    map[string]string // by the folder of each language
	First   []string
}) {
	t.Helper()
	line, _, _ := strings.Cut(text(t, files, "worker.js"), "\n")
	line = strings.TrimSuffix(strings.TrimPrefix(line, "const SITE = "), ";")
	if err := json.Unmarshal([]byte(line), &s); err != nil {
		t.Fatalf("%v in %s", err, line)
	}
	return s
}

func TestWorker(t *testing.T) {
	eachSite(t, func(t *testing.T, files map[string][]byte, _ string) {
		s := workerSettings(t, files)
		if len(s.Version) != 16 {
			t.Errorf("version %q", s.Version)
		}
		if len(s.First) < 5 || len(s.First) > 40 {
			t.Errorf("%d files are kept from the start", len(s.First))
		}
		size := 0
		for _, at := range slices.AppendSeq(s.First, maps.Values(s.Away)) {
			if files[at] == nil {
				t.Errorf("there is no %s to keep", at)
			}
			size += len(files[at])
			if path.IsAbs(at) || strings.Contains(at, "..") {
				t.Errorf("%s leaves the site", at)
			}
		}
		if size > 700_000 {
			t.Errorf("%d bytes are kept from the start", size)
		}
		if bytes.Contains(files["worker.js"], []byte("http")) {
			t.Error("the worker names a web address")
		}
	})
}

// The worker changes with any page, and only with them.
func TestWorkerVersion(t *testing.T) {
	one := addressedSite(t)
	again := addressedSite(t)
	if !bytes.Equal(one["worker.js"], again["worker.js"]) {
		t.Error("the same site has two workers")
	}
	b := hard()
	b.Club.Settings.Notice += " Mended."
	other, _ := render(t, b, page.Options{Version: "0"})
	if workerSettings(t, one).Version == workerSettings(t, other).Version {
		t.Error("another site has the same version")
	}
}

// The web manifest: addresses that hold under any folder, icons that are
// there in the sizes that are told.
func TestWebManifest(t *testing.T) {
	eachSite(t, func(t *testing.T, files map[string][]byte, _ string) {
		var m struct {
			Name, Lang, Scope, Display string
			ShortName                  string `json:"short_name"`
			StartURL                   string `json:"start_url"`
			Background                 string `json:"background_color"`
			Icons                      []struct{ Src, Sizes, Type, Purpose string }
		}
		if err := json.Unmarshal(files["app.webmanifest"], &m); err != nil {
			t.Fatal(err)
		}
		if m.Name == "" || m.ShortName == "" || len(m.ShortName) > len(m.Name) || m.Lang != "en" {
			t.Errorf("%+v", m)
		}
		if m.StartURL != "./" || m.Scope != "./" {
			t.Errorf("starts at %q in %q, which does not hold under any folder", m.StartURL, m.Scope)
		}
		if !regexp.MustCompile(`^#[0-9a-f]{6}$`).MatchString(m.Background) {
			t.Errorf("background %q", m.Background)
		}
		seen := map[string]bool{}
		for _, i := range m.Icons {
			c, err := png.DecodeConfig(bytes.NewReader(files[i.Src]))
			if err != nil {
				t.Errorf("%s: %v", i.Src, err)
				continue
			}
			if want := strings.Split(i.Sizes, "x")[0]; i.Sizes != want+"x"+want || (want != "192" && want != "512") || c.Width != c.Height || c.Width != map[string]int{"192": 192, "512": 512}[want] {
				t.Errorf("%s is %d x %d, told %s", i.Src, c.Width, c.Height, i.Sizes)
			}
			seen[i.Purpose+" "+i.Sizes] = true
		}
		for _, want := range []string{"any 192x192", "any 512x512", "maskable 192x192", "maskable 512x512"} {
			if !seen[want] {
				t.Errorf("no icon %s", want)
			}
		}
		if !bytes.HasPrefix(files["favicon.ico"], []byte{0, 0, 1, 0, 3, 0}) {
			t.Error("favicon.ico is no icon file of three pictures")
		}
	})
}

// No page links what a plain folder cannot give: the script adds it.
func TestNoManifestLink(t *testing.T) {
	for at, data := range demoSite(t) {
		if isPage(at) && (bytes.Contains(data, []byte(`rel="manifest"`)) || bytes.Contains(data, []byte("worker.js"))) {
			t.Errorf("%s names the web manifest or the worker", at)
		}
	}
}

// Head properties of every page: Open Graph as ogp.me asks (title, type, image
// and url, the last two only where the site's address is known), and a
// schema.org description that says the same as the page.
func TestHead(t *testing.T) {
	eachSite(t, func(t *testing.T, files map[string][]byte, base string) {
		for _, at := range slices.Sorted(maps.Keys(files)) {
			if !isPage(at) {
				continue
			}
			d := parse(t, files[at])
			og, hidden := map[string]string{}, false
			var title, canonical, icons string
			var data map[string]any
			for n := range d.root.Descendants() {
				switch {
				case n.Type != html.ElementNode:
				case n.Data == "title" && n.Parent.Data == "head":
					title = textOf(n)
				case n.Data == "meta" && attr(n, "property") != "":
					og[attr(n, "property")] = attr(n, "content")
				case n.Data == "meta" && attr(n, "name") == "robots":
					hidden = attr(n, "content") == "noindex"
				case n.Data == "link" && attr(n, "rel") == "canonical":
					canonical = attr(n, "href")
				case n.Data == "link" && attr(n, "rel") == "icon":
					icons += path.Ext(attr(n, "href"))
				case n.Data == "script" && attr(n, "type") == "application/ld+json":
					if err := json.Unmarshal([]byte(n.FirstChild.Data), &data); err != nil {
						t.Fatalf("%s: %v", at, err)
					}
				}
			}
			if og["og:title"] == "" || og["og:type"] != "website" || !strings.HasPrefix(title, og["og:title"]) {
				t.Errorf("%s: title %q, properties %v", at, title, og)
			}
			if icons != ".ico.svg" {
				t.Errorf("%s: icons %s", at, icons)
			}
			if at == "404.html" || at == "offline.html" {
				if !hidden || data != nil || canonical != "" || og["og:url"] != "" {
					t.Errorf("%s should not be found by searching", at)
				}
				continue
			}
			if hidden {
				t.Errorf("%s is hidden from searching", at)
			}
			if data["@context"] != "https://schema.org" || data["name"] != og["og:title"] || data["inLanguage"] != "en" || !strings.HasSuffix(data["@type"].(string), "Page") {
				t.Errorf("%s: %v", at, data)
			}
			if known := base != ""; known != (canonical != "") || og["og:url"] != canonical || known != (og["og:image"] != "") {
				t.Errorf("%s: canonical %q, properties %v", at, canonical, og)
			}
			if base != "" {
				image, ok := strings.CutPrefix(og["og:image"], "https://almanac.example.org/figs/")
				if _, err := png.DecodeConfig(bytes.NewReader(files[image])); !ok || err != nil {
					t.Errorf("%s: picture %q: %v", at, og["og:image"], err)
				}
				crumbs(t, at, data, files)
			}
		}
	})
}

// crumbs checks that the trail of a page leads over pages that are there to
// the page itself.
func crumbs(t *testing.T, at string, data map[string]any, files map[string][]byte) {
	trail, ok := data["breadcrumb"].(map[string]any)
	if !ok {
		if at != "index.html" {
			t.Errorf("%s has no trail", at)
		}
		return
	}
	last := ""
	for i, x := range trail["itemListElement"].([]any) {
		c := x.(map[string]any)
		last = strings.TrimPrefix(c["item"].(string), "https://almanac.example.org/figs/") + "index.html"
		if files[last] == nil || c["position"] != float64(i+1) || c["name"] == "" {
			t.Errorf("%s: trail %v", at, c)
		}
	}
	if last != at {
		t.Errorf("%s: the trail ends at %s", at, last)
	}
}

// The downloads are a schema.org Dataset; Google's guide for data sets asks
// for name and a description of 50 to 5000 characters.
func TestDataset(t *testing.T) {
	files := addressedSite(t)
	page := text(t, files, "downloads/index.html")
	_, rest, _ := strings.Cut(page, `<script type="application/ld+json">`)
	block, _, _ := strings.Cut(rest, "</script>")
	var p struct {
		MainEntity struct {
			Type              string `json:"@type"`
			Name, Description string
			License           string
			TemporalCoverage  string
			Distribution      []struct{ ContentURL, EncodingFormat string }
		}
	}
	if err := json.Unmarshal([]byte(block), &p); err != nil {
		t.Fatal(err)
	}
	d := p.MainEntity
	if d.Type != "Dataset" || d.Name == "" || len(d.Description) < 50 || len(d.Description) > 5000 {
		t.Errorf("%+v", d)
	}
	if d.License != "https://creativecommons.org/publicdomain/zero/1.0/" || d.TemporalCoverage != "1991-01-01/2020-12-31" {
		t.Errorf("licence %q, years %q", d.License, d.TemporalCoverage)
	}
	if len(d.Distribution) < 5 {
		t.Errorf("only %d files", len(d.Distribution))
	}
	for _, f := range d.Distribution {
		at := strings.TrimPrefix(f.ContentURL, "https://almanac.example.org/figs/")
		if files[at] == nil || f.EncodingFormat != map[string]string{".csv": "text/csv", ".json": "application/json"}[path.Ext(at)] {
			t.Errorf("%+v", f)
		}
	}
	if strings.Contains(block, "<") {
		t.Error("a tag in the description could end the element")
	}
}

func TestRobots(t *testing.T) {
	if got := text(t, addressedSite(t), "robots.txt"); got != "User-agent: *\nAllow: /\nSitemap: https://almanac.example.org/figs/sitemap.xml\n" {
		t.Errorf("%q", got)
	}
	if got := text(t, demoSite(t), "robots.txt"); strings.Contains(got, "Sitemap") || !strings.HasPrefix(got, "User-agent: *\n") {
		t.Errorf("%q", got)
	}
}

// atomEntry and atomFeed are read by plain names.
type atomFeed struct {
	XMLName xml.Name `xml:"http://www.w3.org/2005/Atom feed"`
	ID      string   `xml:"id"`
	Updated string   `xml:"updated"`
	Links   []struct {
		Rel  string `xml:"rel,attr"`
		Href string `xml:"href,attr"`
	} `xml:"link"`
	Entries []struct {
		ID      string `xml:"id"`
		Title   string `xml:"title"`
		Updated string `xml:"updated"`
		Summary string `xml:"summary"`
		Link    struct {
			Href string `xml:"href,attr"`
		} `xml:"link"`
	} `xml:"entry"`
}

func readFeed(t *testing.T, files map[string][]byte) atomFeed {
	t.Helper()
	var f atomFeed
	if err := xml.NewDecoder(bytes.NewReader(files["feed.xml"])).Decode(&f); err != nil && err != io.EOF {
		t.Fatal(err)
	}
	return f
}

func TestFeed(t *testing.T) {
	moved := func() *almanac.Book {
		b := hard()
		b.Changes = &almanac.Changes{PlanYear: 2020, NewTowns: []string{"bb"},
			Odds: []almanac.OddsChange{{Town: "aa", Cultivar: "x", Part: "main", Before: 0.6, After: 0.7, WordBefore: "about as likely as not", WordAfter: "likely"}}}
		return b
	}
	changed := page.Options{Version: "0"}
	files, _ := render(t, moved(), changed)
	f := readFeed(t, files)
	if len(f.Entries) != 3 {
		t.Fatalf("%d entries", len(f.Entries))
	}
	// RFC 4287 4.2.7.2: the feed's own address and that of its site.
	if f.Links[0].Href != "https://almanac.example.org/figs/feed.xml" || f.Links[1].Href != "https://almanac.example.org/figs/" {
		t.Errorf("links %+v", f.Links)
	}
	year, fresh, other := f.Entries[0], f.Entries[1], f.Entries[2]
	if !strings.Contains(year.Title, "2021") || !strings.Contains(year.Title, "31\u00a0December\u00a02020") || year.Updated != "2020-12-31T00:00:00Z" || f.Updated != year.Updated {
		t.Errorf("the year: %+v", year)
	}
	if fresh.Title != "New town: <script>alert(1)</script>" || fresh.Link.Href != "https://almanac.example.org/figs/towns/bb/" {
		t.Errorf("the new town: %+v", fresh)
	}
	if !strings.Contains(other.Title, "2021") || other.Summary != "One answer on ripening has another likelihood word." {
		t.Errorf("the changed town: %+v", other)
	}
	for _, e := range f.Entries {
		at := strings.TrimPrefix(e.Link.Href, "https://almanac.example.org/figs/") + "index.html"
		if files[at] == nil {
			t.Errorf("an entry leads to %s", at)
		}
		if !regexp.MustCompile(`^urn:uuid:[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$`).MatchString(e.ID) {
			t.Errorf("id %q", e.ID)
		}
	}

	// RFC 4287 4.2.6: an id stays when the feed moves, and when the entry's
	// date does; another year's news is another entry.
	b := moved()
	b.Club.Settings.SiteURL = "https://elsewhere.example.org/"
	b.CutOff = day.Of(2021, 6, 30)
	elsewhere, _ := render(t, b, changed)
	g := readFeed(t, elsewhere)
	if g.ID != f.ID || g.Entries[0].ID != f.Entries[0].ID || g.Entries[2].ID != f.Entries[2].ID {
		t.Error("ids changed with the address or the date")
	}
	if g.Entries[0].Updated == f.Entries[0].Updated {
		t.Error("more data, and the entry is not updated")
	}
	b = moved()
	b.PlanYear++
	next, _ := render(t, b, changed)
	if h := readFeed(t, next); h.ID != f.ID || h.Entries[0].ID == f.Entries[0].ID || h.Entries[1].ID == f.Entries[1].ID {
		t.Error("next year's news must be other entries of the same feed")
	}
}

// Where the club has not said where its site stands, what needs an address is
// left out, and that is said.
func TestNoAddress(t *testing.T) {
	b := hard()
	b.Club.Settings.SiteURL = ""
	files, problems := render(t, b, page.Options{Version: "0"})
	if len(problems) != 1 || problems[0].Severity != diag.Note || problems[0].Place.File != "data/club.toml" || !strings.Contains(problems[0].Message, "feed") || problems[0].Hint == "" {
		t.Errorf("problems %v", problems)
	}
	for _, at := range []string{"feed.xml", "sitemap.xml"} {
		if files[at] != nil {
			t.Errorf("there is a %s", at)
		}
	}
	for _, at := range []string{"robots.txt", "app.webmanifest", "worker.js", "favicon.ico", "404.html", "offline.html"} {
		if files[at] == nil {
			t.Errorf("there is no %s", at)
		}
	}
	_, problems = render(t, hard(), page.Options{Version: "0"})
	if len(problems) != 0 {
		t.Errorf("with an address: %v", problems)
	}
}

// A host shows the page for lost links at any address: with the site's address
// known, nothing on it depends on where it is shown.
func TestLost(t *testing.T) {
	d := parse(t, addressedSite(t)["404.html"])
	n := 0
	for e := range d.root.Descendants() {
		for _, key := range []string{"href", "src"} {
			if to := attr(e, key); to != "" && to != "#the-page" {
				n++
				if !strings.HasPrefix(to, "/figs/") {
					t.Errorf("<%s> leads to %s", e.Data, to)
				}
			}
		}
	}
	if n < 10 {
		t.Errorf("only %d links", n)
	}
}
