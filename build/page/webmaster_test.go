package page_test

import (
	"io/fs"
	"regexp"
	"strings"
	"testing"

	"ripeward/content"
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
	for _, at := range []string{"webmaster", "fr/webmaster"} {
		hosting, err := fs.ReadFile(content.Webmaster, at+"/hosting.md")
		if err != nil {
			t.Fatal(err)
		}
		if want := string(policy[1]) + "; frame-ancestors 'none'"; !strings.Contains(string(hosting), "`"+want+"`") {
			t.Errorf("%s/hosting.md does not give the policy %s", at, want)
		}
	}
}
