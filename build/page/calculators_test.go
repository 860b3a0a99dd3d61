package page_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// On a phone, the sums of the pots page agree with its own tables, and the
// count-down of the figlets page says what its table has.
func TestBrowserCalculators(t *testing.T) {
	b := openBrowser(t)
	b.do(chromedp.EmulateViewport(360, 740))
	b.open("pots/index.html")
	choose := func(id string, value any) {
		eval[bool](b, fmt.Sprintf(`(() => { const e = document.getElementById(%q); e.value = %q; e.dispatchEvent(new Event("input", {bubbles: true})); e.dispatchEvent(new Event("change", {bubbles: true})); return true })()`, id, fmt.Sprint(value)))
	}
	says := func(id string) string {
		return strings.Join(strings.Fields(eval[string](b, fmt.Sprintf(`document.getElementById(%q).textContent`, id))), " ")
	}
	pots := eval[[]string](b, `[...document.querySelectorAll("#r-pot option")].map(o => o.textContent)`)
	weights := eval[[][]string](b, `[...document.querySelectorAll("#sizes ~ .scroll table tbody tr")].map(r => [...r.cells].map(c => c.textContent.trim()))`)
	if len(pots) < 3 || len(weights) != len(pots) {
		t.Fatalf("%d pots to choose from, %d in the table", len(pots), len(weights))
	}
	for i, pot := range pots {
		choose("r-pot", eval[string](b, fmt.Sprintf(`document.querySelectorAll("#r-pot option")[%d].value`, i)))
		choose("r-n", 10)
		mix := says("r-says-mix")
		var litres float64
		if _, err := fmt.Sscanf(pot, "%g", &litres); err != nil {
			t.Fatalf("pot %q: %v", pot, err)
		}
		if want := fmt.Sprintf("10 pots take %s L ", strings.TrimSuffix(fmt.Sprintf("%.1f", 10*litres), ".0")); !strings.HasPrefix(strings.ReplaceAll(mix, ",", ""), want) {
			t.Errorf("%s: %q, want %q", pot, mix, want)
		}
		if kg := strings.Join(strings.Fields(weights[i][2]), " "); !strings.Contains(mix, kg) {
			t.Errorf("%s: %q, and the table says it weighs %s", pot, mix, kg)
		}
	}
	if wide := eval[int](b, `document.documentElement.scrollWidth`); wide > 360 {
		t.Errorf("the pots page is %d px wide", wide)
	}

	b.open("towns/brindlemouth/figlets/index.html")
	rows := eval[int](b, `document.querySelectorAll("table.figlets tbody tr").length`)
	if rows < 5 {
		t.Fatalf("%d cultivars", rows)
	}
	for _, c := range [][2]int{{0, 0}, {1, 7}, {rows - 1, 15}} {
		choose("count-cultivar", c[0])
		choose("count-day", c[1])
		cell := eval[string](b, fmt.Sprintf(`document.querySelectorAll("table.figlets tbody tr")[%d].cells[%d].textContent`, c[0], c[1]+2))
		name := eval[string](b, fmt.Sprintf(`document.querySelectorAll("table.figlets tbody tr")[%d].cells[0].textContent.trim()`, c[0]))
		number := strings.Join(strings.Fields(cell), " ")
		number = strings.NewReplacer("over", "more than", "under", "fewer than").Replace(number)
		if got := says("count-says"); !strings.Contains(got, name) || !strings.Contains(got, number+" year") {
			t.Errorf("row %d, date %d: %q, the table has %q", c[0], c[1], got, cell)
		}
	}
	if wide := eval[int](b, `document.documentElement.scrollWidth`); wide > 360 {
		t.Errorf("the figlets page is %d px wide", wide)
	}
	b.quiet()
}
