package page_test

import (
	"crypto/sha256"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ripeward/build/almanac"
	"ripeward/build/cache"
	"ripeward/build/page"
)

// fewTowns is the demonstration's book with its first n towns alone.
func fewTowns(t *testing.T, n int) *almanac.Book {
	t.Helper()
	b := *demoBook(t)
	c := *b.Club
	b.Towns = slices.Clone(b.Towns[:n])
	c.Towns = nil
	for i := range b.Towns {
		b.Towns[i].RestsOn = cache.Sum{byte(i + 1)}
		c.Towns = append(c.Towns, b.Towns[i].Row)
	}
	b.Club, b.RestsOn = &c, cache.Sum{99}
	return &b
}

// What rests on the same grounds is taken over: none of it is rendered again,
// and with it the site is the same.
func TestPagesAreTakenOver(t *testing.T) {
	b := fewTowns(t, 3)
	kept := page.Kept{}
	again := func(willing bool) (put map[string][]byte, taken map[string]page.KeptFile) {
		t.Helper()
		taken = map[string]page.KeptFile{}
		turns := make(chan bool, 1)
		put, _ = render(t, b, page.Options{Kept: &kept, Reuse: func(files []page.KeptFile) bool {
			turns <- true
			defer func() { <-turns }()
			for _, f := range files {
				if willing {
					taken[f.Path] = f
				}
			}
			return willing
		}})
		return put, taken
	}
	whole, _ := again(false)
	same := func(what string, put map[string][]byte, taken map[string]page.KeptFile) {
		t.Helper()
		for at, data := range whole {
			f, ok := taken[at]
			if _, written := put[at]; ok == written {
				t.Errorf("%s: %s is taken over: %v, rendered: %v", what, at, ok, written)
			}
			if ok && (f.Size != int64(len(data)) || f.SHA256 != cache.Sum(sha256.Sum256(data))) {
				t.Errorf("%s: %s is taken over for another file", what, at)
			}
			if !ok && string(put[at]) != string(data) {
				t.Errorf("%s: %s is not as it was", what, at)
			}
		}
		if len(put)+len(taken) != len(whole) {
			t.Errorf("%s: %d files, %d before", what, len(put)+len(taken), len(whole))
		}
	}
	town := func(i int) string { return "towns/" + string(b.Towns[i].Row.ID) + "/index.html" }

	put, taken := again(true)
	same("nothing changed", put, taken)
	if len(taken) < len(put) || len(put[town(0)]) > 0 || len(put["index.html"]) == 0 {
		t.Errorf("%d files taken over, %d rendered", len(taken), len(put))
	}
	put, taken = again(false)
	same("the old site was touched", put, taken)

	b.Towns[1].RestsOn = cache.Sum{77}
	put, taken = again(true)
	same("one town", put, taken)
	zone := "zones/" + string(b.Towns[1].Row.ZoneID) + "/index.html"
	for at, want := range map[string]bool{town(0): false, town(1): true, town(2): false, zone: true, "cultivars/" + string(b.Club.Cultivars[0].ID) + "/index.html": true} {
		if rendered := len(put[at]) > 0; rendered != want {
			t.Errorf("%s rendered: %v, want %v", at, rendered, want)
		}
	}

	b.RestsOn = cache.Sum{98}
	put, taken = again(true)
	same("the tables", put, taken)
	if len(taken) > 0 {
		t.Errorf("%d files are taken over though the tables changed", len(taken))
	}
	b.RestsOn = cache.Sum{} // without a cache
	again(true)
	if put, taken = again(true); len(taken) > 0 || len(put) != len(whole) {
		t.Errorf("%d files are taken over though nothing is known of their grounds", len(taken))
	}
}

// In a large club a cultivar's page counts towns by zone; the counts are those
// of the odds.
func TestCultivarOfManyTowns(t *testing.T) {
	b := manyTowns(t, 210)
	files := map[string][]byte{}
	if err := page.RenderFew(b, page.Options{}, func(at string, data []byte) error { files[at] = data; return nil }); err != nil {
		t.Fatal(err)
	}
	c := string(b.Club.Cultivars[0].ID)
	at := "cultivars/" + c + "/index.html"
	html := string(files[at])
	if len(html) == 0 || len(html) > 60_000 || strings.Contains(html, "towns/") {
		t.Fatalf("%s has %d bytes, or rows of towns", at, len(html))
	}
	for _, z := range b.Club.Zones {
		for _, m := range b.Club.Methods {
			n, good := 0, 0
			for i := range b.Towns {
				if b.Towns[i].Row.ZoneID != z.ID {
					continue
				}
				for _, o := range b.Towns[i].Odds {
					if o.Cultivar == c && o.Part == "main" && o.Method == string(m.ID) && o.Brebas != "kept" {
						n++
						if o.Reason == "" && o.Odds >= 0.75 {
							good++
						}
					}
				}
			}
			if want := `href="../../grid/` + string(m.ID) + `/` + string(z.ID) + `/index.html">` + strconv.Itoa(good) + "\u00a0of\u00a0" + strconv.Itoa(n) + "<"; !strings.Contains(html, want) {
				t.Errorf("no %s", want)
			}
		}
	}
}
