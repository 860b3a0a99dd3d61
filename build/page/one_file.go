package page

import (
	"fmt"
	"html/template"
	"path"
	"regexp"
	"strings"

	"ripeward/build/almanac"
)

// oneFilePage is where a town's page in one file stands. Its name tells
// what it is wherever it ends up: town, year, and the language where the site
// has several.
func (s *site) oneFilePage(town string) string {
	name := fmt.Sprintf("ripeward-%s-%d", town, s.book.PlanYear)
	if len(s.written) > 1 {
		name += "-" + s.Tag
	}
	return "towns/" + town + "/" + name + ".html"
}

// isOneFile tells a page in one file, which neither the sitemap names nor the
// service worker keeps: it is made to be carried away. The worker's script has
// the same rule.
var isOneFile = regexp.MustCompile(`^([a-z]{2}/)?towns/[^/]+/ripeward-[^/]+\.html$`).MatchString

// afterTown is what a town's page in one file has from the town's other pages.
type afterTown struct {
	Jobs   *taskList
	Winter *winterPage
}

// oneFile writes the town's page in one file, from the model of its page.
func (r *rendering) oneFile(t *almanac.Town, m *townPage) error {
	s := r.site
	id := string(t.Row.ID)
	one := *m
	one.TakeAlong = ""
	after := &afterTown{}
	if show := s.showcase(t); show != nil {
		after.Jobs = s.taskList(t, show, paths{"../../"})
	}
	if hasWinter(t) {
		w, err := s.winterPage(t)
		if err != nil {
			return err
		}
		if len(w.Stores) > 0 {
			after.Winter = w
		}
	}
	f := alone{Title: fmt.Sprintf("%s, %s", m.Name, t.Hemisphere.Label(s.book.PlanYear)), CutOff: s.calendarDate(s.book.CutOff), Years: m.Years, Version: s.options.Version, Body: &one, After: after}
	if s.club.Settings.SiteURL != "" {
		f.Site = s.address(s.below + "index.html")
	}
	at := s.oneFilePage(id)
	data, err := s.alonePage("one-file", f)
	if err != nil {
		return fmt.Errorf("page %s: %w", at, err)
	}
	return r.emit(at, s.unbound(data, "towns/"+id))
}

var (
	anchor     = regexp.MustCompile(`(?s)<a ([^>]*)>(.*?)</a>`)
	hrefOf     = regexp.MustCompile(`href="([^"]*)"`)
	emptyLines = regexp.MustCompile(`<p( class="ways")?>\s*</p>\n?`)
)

// unbound frees a page from the site around it: links into the site become
// whole addresses or, where the site's address is not known, plain text, and
// buttons go. Attributes hold no ">", which templates escape.
func (s *site) unbound(data []byte, folder string) []byte {
	out := anchor.ReplaceAllStringFunc(string(data), func(a string) string {
		m := anchor.FindStringSubmatch(a)
		href := hrefOf.FindStringSubmatch(m[1])
		switch {
		case href == nil, strings.HasPrefix(href[1], "#"), strings.Contains(href[1], ":"):
			return a
		case s.club.Settings.SiteURL == "" && strings.Contains(m[1], `class="button"`):
			return ""
		case s.club.Settings.SiteURL == "":
			return m[2]
		}
		to, frag, has := strings.Cut(href[1], "#")
		whole := s.address(path.Join(s.below+folder, to))
		if has {
			whole += "#" + frag
		}
		return strings.Replace(a, href[0], `href="`+template.HTMLEscapeString(whole)+`"`, 1)
	})
	return []byte(emptyLines.ReplaceAllString(out, ""))
}
