package page_test

import (
	"bytes"
	"cmp"
	"compress/gzip"
	"fmt"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/page"
)

// manyTowns is the demonstration's book with each of its towns many times over,
// under other names and in other places, n in all: a large club's site, as far
// as pages and their weight go.
func manyTowns(t testing.TB, n int) *almanac.Book {
	t.Helper()
	b := demoBook(t)
	next, c := *b, *b.Club
	c.Towns = slices.Clone(c.Towns)
	next.Club, next.Towns = &c, slices.Clone(b.Towns)
	beginnings := []string{"Upper", "Lower", "Old", "New", "North", "South", "East", "West", "Little", "Great", "Far", "Long", "High", "Stony", "Broad"}
	for i := len(b.Towns); i < n; i++ {
		town, k := b.Towns[i%len(b.Towns)], i/len(b.Towns)
		town.Row.ID = club.Text(fmt.Sprintf("%s-%d", town.Row.ID, k))
		town.Row.Name = club.Text(fmt.Sprintf("%s %s %d", beginnings[k%len(beginnings)], town.Row.Name, k))
		// Scattered around the first, no two in one place.
		town.Row.Latitude.Value += float64(k%9-4) / 40
		town.Row.Longitude.Value += float64(k/9-4) / 30
		next.Towns, c.Towns = append(next.Towns, town), append(c.Towns, town.Row)
	}
	slices.SortFunc(next.Towns, func(a, b almanac.Town) int { return cmp.Compare(a.Row.ID, b.Row.ID) })
	return &next
}

// load is what a browser fetches to show a page.
type load struct {
	At              string
	Bytes, Requests int // gzipped as a host does; the page included
}

// weigh adds up a page, its style sheet, its icons and the scripts it names.
func weigh(files map[string][]byte, at string) load {
	page := files[at]
	l := load{At: at, Bytes: gzipped(page), Requests: 1}
	seen := map[string]bool{}
	for _, m := range loads.FindAllSubmatch(page, -1) {
		to := path.Join(path.Dir(at), string(m[1])+string(m[2]))
		if data, ok := files[to]; ok && !seen[to] {
			seen[to] = true
			l.Bytes += gzipped(data)
			l.Requests++
		}
	}
	return l
}

// loads finds what is fetched with a page: sources of scripts and pictures,
// style sheets, icons.
var loads = regexp.MustCompile(`<(?:script|img)[^>]* src="([^"]+)"|<link rel="(?:stylesheet|icon)" href="([^"]+)"`)

func gzipped(data []byte) int {
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	_, _ = w.Write(data)
	_ = w.Close()
	return b.Len()
}

// A club of a thousand towns weighs no more on a phone: a town's page with its
// charts, style and scripts stays within 100 kB gzipped and 12 requests, the
// manifest, the worker and the list of names, fetched when a reader looks for
// something, included; so do the first page, the search, and each zone and grid.
func TestManyTownsStayLight(t *testing.T) {
	const most, requests = 100_000, 12
	b := manyTowns(t, 1000)
	files := map[string][]byte{}
	if err := page.RenderFew(b, page.Options{}, func(at string, data []byte) error { files[at] = data; return nil }); err != nil {
		t.Fatal(err)
	}
	names := 0
	for at, data := range files {
		if strings.HasPrefix(at, "assets/names.") {
			names = gzipped(data)
		}
	}
	if names == 0 {
		t.Fatal("there is no list of names")
	}
	zone, method := string(b.Club.Zones[0].ID), string(b.Club.Methods[0].ID)
	town := "towns/" + string(b.Towns[0].Row.ID) + "/index.html"
	for _, at := range []string{"index.html", "search/index.html", "compare/index.html", town, "zones/" + zone + "/index.html", "grid/" + method + "/" + zone + "/index.html"} {
		l := weigh(files, at)
		text := text(t, files, at)
		if !strings.Contains(text, "compare.") && strings.Contains(text, "<script src=\"../assets/names.") {
			t.Errorf("%s fetches the list of names before anyone asks for it", at)
		}
		t.Logf("%-40s %6d bytes gzipped, %d requests; %d with the names", at, l.Bytes, l.Requests, l.Bytes+names)
		if l.Bytes+names > most || l.Requests+3 > requests {
			t.Errorf("%s loads %d bytes gzipped in %d requests, with %d of names and three more requests", at, l.Bytes, l.Requests, names)
		}
		if l.Requests < 5 {
			t.Errorf("%s: only %d requests were found", at, l.Requests)
		}
	}
	grid := files["grid/"+method+"/"+zone+"/index.html"]
	if n := bytes.Count(grid, []byte("<th scope=\"col\"")); n > 61 {
		t.Errorf("a grid of %d columns", n)
	}
	// The demonstration's own pages, every one.
	demo := demoSite(t)
	heaviest := load{}
	for at := range demo {
		if strings.HasPrefix(at, "towns/") && strings.Count(at, "/") == 2 && path.Base(at) == "index.html" {
			if l := weigh(demo, at); l.Bytes > heaviest.Bytes {
				heaviest = l
			}
		}
	}
	t.Logf("heaviest of the demonstration: %s, %d bytes gzipped, %d requests", heaviest.At, heaviest.Bytes, heaviest.Requests)
	if heaviest.Bytes == 0 || heaviest.Bytes > most || heaviest.Requests > requests {
		t.Errorf("%s loads %d bytes gzipped in %d requests", heaviest.At, heaviest.Bytes, heaviest.Requests)
	}
}
