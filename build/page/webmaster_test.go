package page_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"ripeward/templates"
)

// The papers for webmasters are no pages, and name the policy that pages have.
func TestWebmastersPapers(t *testing.T) {
	for at := range demoSite(t) {
		if strings.Contains(at, "webmaster") || strings.Contains(at, "handover") {
			t.Errorf("%s is on the site", at)
		}
	}
	base, err := fs.ReadFile(templates.Files, "base.html")
	if err != nil {
		t.Fatal(err)
	}
	policy := regexp.MustCompile(`http-equiv="Content-Security-Policy" content="([^"]+)"`).FindSubmatch(base)
	if policy == nil {
		t.Fatal("base.html has no policy")
	}
	hosting, err := os.ReadFile(filepath.Join("..", "..", "content", "webmaster", "hosting.md"))
	if err != nil {
		t.Fatal(err)
	}
	if want := string(policy[1]) + "; frame-ancestors 'none'"; !strings.Contains(string(hosting), "`"+want+"`") {
		t.Errorf("hosting.md does not give the policy %s", want)
	}
}
