package preview_test

import (
	"errors"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"ripeward/build/diag"
	"ripeward/build/preview"
)

// start serves a small site with a link that leads out of it, and returns a
// way to ask for files.
func start(t *testing.T) (ask func(method, path, host string) (*http.Response, string), address string) {
	t.Helper()
	dir := t.TempDir()
	site := filepath.Join(dir, "site")
	for path, text := range map[string]string{"secret.txt": "SECRET", "site/index.html": "first", "site/towns/aa/index.html": "town", "site/404.html": "lost page",
		"site/downloads/odds.csv": "a,b\n", "site/calendar/aa.ics": "BEGIN", "site/feed.xml": "<feed/>", "site/sitemap.xml": "<urlset/>", "site/app.webmanifest": "{}", "site/assets/a.js": "1"} {
		full := filepath.Join(dir, filepath.FromSlash(path))
		if err := errors.Join(os.MkdirAll(filepath.Dir(full), 0o777), os.WriteFile(full, []byte(text), 0o666)); err != nil {
			t.Fatal(err)
		}
	}
	if err := errors.Join(os.Symlink(filepath.Join(dir, "secret.txt"), filepath.Join(site, "out.txt")), os.Symlink("..", filepath.Join(site, "up"))); err != nil {
		t.Skip("no symbolic links here")
	}
	l, address, err := preview.Listen(0)
	if err != nil {
		t.Fatal(err)
	}
	stop, ended := make(chan struct{}), make(chan error)
	go func() { ended <- preview.Serve(l, site, stop) }()
	t.Cleanup(func() {
		close(stop)
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	client := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	return func(method, path, host string) (*http.Response, string) {
		t.Helper()
		r, err := http.NewRequest(method, strings.TrimSuffix(address, "/"), nil)
		if err != nil {
			t.Fatal(err)
		}
		r.URL.Opaque = path
		if host != "" {
			r.Host = host
		}
		answer, err := client.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		defer answer.Body.Close()
		body, err := io.ReadAll(answer.Body)
		if err != nil {
			t.Fatal(err)
		}
		return answer, string(body)
	}, address
}

func TestServe(t *testing.T) {
	ask, address := start(t)
	if !strings.HasPrefix(address, "http://127.0.0.1:") {
		t.Errorf("address %s", address)
	}
	port := strings.Trim(address[strings.LastIndex(address, ":"):], "/")
	for _, c := range []struct {
		name, method, path, host string
		status                   int
		body, kind               string
	}{
		{"first page", "GET", "/", "", 200, "first", "text/html"},
		{"a page of its folder", "GET", "/towns/aa/", "", 200, "town", "text/html"},
		{"a file", "GET", "/towns/aa/index.html", "", 200, "town", "text/html"},
		{"asked for the head alone", "HEAD", "/towns/aa/", "", 200, "", "text/html"},
		{"a folder without its stroke", "GET", "/towns/aa", "", 301, "", ""},
		{"a folder without a page", "GET", "/towns/", "", 404, "lost page", "text/html"},
		{"nothing", "GET", "/towns/zz/", "", 404, "lost page", "text/html"},
		{"a table", "GET", "/downloads/odds.csv", "", 200, "a,b\n", "text/csv"},
		{"a calendar", "GET", "/calendar/aa.ics", "", 200, "BEGIN", "text/calendar"},
		{"the feed", "GET", "/feed.xml", "", 200, "<feed/>", "application/atom+xml"},
		{"the sitemap", "GET", "/sitemap.xml", "", 200, "<urlset/>", "application/xml"},
		{"the web manifest", "GET", "/app.webmanifest", "", 200, "{}", "application/manifest+json"},
		{"a script", "GET", "/assets/a.js", "", 200, "1", "text/javascript"},
		{"a link that leads out", "GET", "/out.txt", "", 404, "lost page", "text/html"},
		{"a folder that leads out", "GET", "/up/secret.txt", "", 404, "lost page", "text/html"},
		{"climbing", "GET", "/../secret.txt", "", 404, "lost page", "text/html"},
		{"climbing in disguise", "GET", "/%2e%2e/secret.txt", "", 404, "lost page", "text/html"},
		{"climbing with strokes the other way", "GET", `/..%5csecret.txt`, "", 404, "lost page", "text/html"},
		{"writing", "POST", "/", "", 405, "A preview can only be read.\n", "text/plain"},
		{"by the name localhost", "GET", "/", "localhost" + port, 200, "first", ""},
		{"by another name", "GET", "/", "evil.example" + port, 421, "This preview is for the browsers of its own machine.\n", "text/plain"},
		{"another port's", "GET", "/", "localhost:1", 421, "This preview is for the browsers of its own machine.\n", "text/plain"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, body := ask(c.method, c.path, c.host)
			if r.StatusCode != c.status || body != c.body || !strings.HasPrefix(r.Header.Get("Content-Type"), c.kind) {
				t.Errorf("%s: %s %q, %s", c.path, r.Status, body, r.Header.Get("Content-Type"))
			}
			if strings.Contains(body, "SECRET") || r.Header.Get("X-Content-Type-Options") != "nosniff" || !strings.Contains(r.Header.Get("Content-Security-Policy"), "frame-ancestors 'none'") {
				t.Error("a header that protects is missing")
			}
		})
	}
	if r, _ := ask("GET", "/towns/aa", ""); r.Header.Get("Location") != "/towns/aa/" {
		t.Errorf("redirected to %q", r.Header.Get("Location"))
	}
}

func TestPortInUse(t *testing.T) {
	l, address, err := preview.Listen(0)
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	port, err := strconv.Atoi(strings.Trim(address[strings.LastIndex(address, ":")+1:], "/"))
	if err != nil {
		t.Fatal(err)
	}
	_, _, err = preview.Listen(port)
	var p diag.Problem
	if !errors.As(err, &p) || !strings.Contains(p.Message, "in use") || !strings.Contains(p.Hint, "--port 0") {
		t.Errorf("got %v", err)
	}
}

func TestLook(t *testing.T) {
	dir := t.TempDir()
	write := func(path, text string) {
		full := filepath.Join(dir, filepath.FromSlash(path))
		if err := errors.Join(os.MkdirAll(filepath.Dir(full), 0o777), os.WriteFile(full, []byte(text), 0o666)); err != nil {
			t.Fatal(err)
		}
	}
	write("data/a.csv", "1")
	write("data/stations/s.csv", "1")
	write("site/a.html", "1")
	_ = os.Symlink("..", filepath.Join(dir, "data", "ring")) // a ring of folders ends
	before := preview.Look(dir, "data", "content")
	if d := preview.Look(dir, "data", "content").Changed(before); d != nil {
		t.Errorf("nothing changed, and %v is told", d)
	}
	if err := os.RemoveAll(filepath.Join(dir, "data", "ring")); err != nil {
		t.Fatal(err)
	}
	before = preview.Look(dir, "data", "content")
	write("data/a.csv", "12")
	write("content/new.md", "1")
	write("site/a.html", "12")
	if err := os.Remove(filepath.Join(dir, "data", "stations", "s.csv")); err != nil {
		t.Fatal(err)
	}
	want := []string{"content/new.md", "data/a.csv", "data/stations/s.csv"}
	if d := preview.Look(dir, "data", "content").Changed(before); !reflect.DeepEqual(d, want) {
		t.Errorf("got %v, want %v", d, want)
	}
}
