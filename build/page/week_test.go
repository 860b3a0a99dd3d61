package page_test

import (
	"fmt"
	"strings"
	"testing"

	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"ripeward/build/almanac"
	"ripeward/build/day"
)

// In the browser the card shows what falls into the reader's seven days, in the
// year of the plan and in any other; and the year's list marks the same jobs.
func TestThisWeek(t *testing.T) {
	b := openBrowser(t)
	book := demoBook(t)
	town := &book.Towns[0]
	method := ""
	for _, at := range []struct{ y, m, d int }{{book.PlanYear, 6, 12}, {book.PlanYear + 1, 6, 12}, {book.PlanYear, 12, 31}, {book.PlanYear + 3, 1, 1}, {book.PlanYear, 3, 1}, {book.PlanYear + 2, 2, 28}} {
		// The page's own clock stands still at noon of that day.
		clock := fmt.Sprintf(`(function () { var D = Date; window.Date = class extends D { constructor(...a) { if (a.length) { super(...a); } else { super(%d, %d, %d, 12); } } }; })();`, at.y, at.m-1, at.d)
		if _, err := chromedp.Call(b.ctx, cdppage.AddScriptToEvaluateOnNewDocument, cdppage.AddScriptToEvaluateOnNewDocumentParams{Source: clock}); err != nil {
			t.Fatal(err)
		}
		b.open("towns/" + string(town.Row.ID) + "/index.html")
		b.loaded("town")
		if method == "" {
			method = eval[string](b, `document.querySelector("#jobs ~ .ways a").href.split("#jobs-")[1]`)
		}
		want := dueFrom(book, town, method, day.Of(at.y, at.m, at.d))
		got := eval[string](b, `Array.from(document.querySelectorAll("#week li b"), function (e) { return e.textContent; }).join("|")`)
		if got != strings.Join(want, "|") {
			t.Errorf("%v: the card has %q, want %q", at, got, strings.Join(want, "|"))
		}
		if said := eval[bool](b, `!document.querySelector("#week [data-after]").hidden`); said != (len(want) == 0) {
			t.Errorf("%v: with %d jobs it says that there are none: %v", at, len(want), said)
		}
		if eval[bool](b, `!document.querySelector("#week [data-before]").hidden || document.getElementById("this-week").textContent !== "Due this week"`) {
			t.Errorf("%v: what stands there without a script is still shown", at)
		}
		b.open("towns/" + string(town.Row.ID) + "/year/index.html")
		marked := eval[string](b, `Array.from(document.querySelectorAll("#jobs-`+method+` ~ .tasks .duenow"), function (e) { return e.parentNode.querySelector("b").textContent; }).join("|")`)
		if marked != got {
			t.Errorf("%v: the list marks %q, the card has %q", at, marked, got)
		}
	}
	b.quiet()
}

// dueFrom lists a method's jobs that overlap the seven days from today, in the
// plan's year moved to today's, or the one before or after it.
func dueFrom(b *almanac.Book, town *almanac.Town, method string, today day.Date) []string {
	names := map[string]string{}
	for _, k := range b.Club.Tasks {
		names[string(k.ID)] = string(k.Name)
	}
	var out []string
	for _, d := range town.Tasks { // in the order of their days already
		if d.Method != method {
			continue
		}
		for k := -1; k <= 1; k++ {
			years := today.Year() + k - d.From.Year()
			move := func(x day.Date) day.Date { y, m, dom := x.YMD(); return day.Of(y+years, m, dom) }
			if move(d.From) <= today+6 && move(d.Until) >= today {
				out = append(out, names[d.Task])
				break
			}
		}
	}
	return out
}
