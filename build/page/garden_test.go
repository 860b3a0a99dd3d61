package page_test

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"ripeward/build/almanac"
	"ripeward/build/page"
)

// Without a report, by a wall and in a hollow a garden has the book's own odds.
func TestGardenAgreesWithTheBook(t *testing.T) {
	b := demoBook(t)
	n, worst := 0, 0.0
	for i := range b.Towns {
		town := &b.Towns[i]
		odds := map[string]*almanac.Odds{}
		for j := range town.Odds {
			o := &town.Odds[j]
			odds[o.Cultivar+o.Part+o.Brebas+o.Method] = o
		}
		for j := range town.Garden.Ways {
			w := &town.Garden.Ways[j]
			for k, l := range b.GardenLines {
				if (i+j+k)%3 > 0 {
					continue // a third of them, other ones in each town
				}
				o := odds[l.Cultivar+l.Part+l.Brebas+w.Method]
				if l.Crop != w.Crop || o == nil {
					continue
				}
				n++
				spot := func(z float64) gardenPost { return gardenPost{[]float64{z}, []float64{1}} }
				for _, x := range []struct{ got, want float64 }{{gardenOdds(l, w, gardenPrior()), o.Odds}, {gardenOdds(l, w, spot(1.28)), o.Cool}, {gardenOdds(l, w, spot(-1.28)), o.Warm}} {
					worst = math.Max(worst, math.Abs(x.got-x.want))
					if math.Abs(x.got-x.want) > 0.02 {
						t.Errorf("%s, %+v, %s: %.4f, the book has %.2f", town.Row.ID, l, w.Method, x.got, x.want)
					}
				}
			}
		}
	}
	if n < 1000 {
		t.Errorf("%d lines compared", n)
	}
	t.Logf("%d lines, largest difference %.4f", n, worst)
}

// Shrinkage: the middle of the belief is where the closed form has it, more
// doubt moves less, a report at the need moves nothing, and a failure never
// makes a garden warmer.
func TestGardenShrinks(t *testing.T) {
	line := almanac.GardenLine{Mu: 1200, SE: 30, GardenSd: 100, YearSd: 70}
	prior := gardenPrior()
	if math.Abs(prior.mean()) > 1e-9 || math.Abs(prior.sd()-1) > 1e-6 {
		t.Errorf("before any report z has mean %v and sd %v", prior.mean(), prior.sd())
	}
	if m := gardenRipe(line, line.Mu).mean(); math.Abs(m) > 1e-9 {
		t.Errorf("a report at the need moves the garden by %v", m)
	}
	s := gardenNoise(line)
	for _, heat := range []float64{900, 1150, 1200, 1320, 1500} {
		// Two normals: precision-weighted mean (Gelman and others, Bayesian Data
		// Analysis, 2.5).
		weight := line.GardenSd * line.GardenSd / (line.GardenSd*line.GardenSd + s*s)
		g := gardenRipe(line, heat)
		if want := weight * (heat - line.Mu) / line.GardenSd; math.Abs(g.mean()-want) > 1e-6 {
			t.Errorf("ripe at %v: mean %v, want %v", heat, g.mean(), want)
		}
		if want := math.Sqrt(1 - weight); math.Abs(g.sd()-want) > 1e-6 {
			t.Errorf("ripe at %v: sd %v, want %v", heat, g.sd(), want)
		}
		vague := line
		vague.SE = 120
		if a, b := math.Abs(gardenRipe(vague, heat).mean()), math.Abs(g.mean()); a > b+1e-12 {
			t.Errorf("ripe at %v: more doubt moves more, %v against %v", heat, a, b)
		}
		if m := gardenNot(line, heat).mean(); m < -1e-9 {
			t.Errorf("not ripe at %v makes the garden warmer, %v", heat, m)
		}
		if gardenNot(line, heat).mean() > gardenNot(line, heat+50).mean() {
			t.Errorf("not ripe at %v weighs more than with 50 °C·d more", heat)
		}
	}
}

// The failure's mean is that of a truncated normal: the inverse Mills ratio at
// 0 is √(2/π), 0.797885 (Johnson, Kotz and Balakrishnan, Continuous Univariate
// Distributions 1, 13.10: mean of the standard normal above α is φ(α)/(1-Φ(α))).
// The nodes end at 6 standard deviations, which costs 2e-6.
func TestGardenTruncated(t *testing.T) {
	line := almanac.GardenLine{Mu: 1200, SE: 30, GardenSd: 100, YearSd: 70}
	total := math.Hypot(line.GardenSd, gardenNoise(line))
	rho := line.GardenSd / total
	if got, want := gardenNot(line, line.Mu).mean(), rho*0.7978845608; math.Abs(got-want) > 1e-6 {
		t.Errorf("not ripe at the need: %v, want %v", got, want)
	}
	for _, alpha := range []float64{-2, -0.5, 1, 2.5} {
		lambda := distuv.UnitNormal.Prob(alpha) / distuv.UnitNormal.Survival(alpha)
		g := gardenNot(line, line.Mu+alpha*total)
		if math.Abs(g.mean()-rho*lambda) > 1e-5 {
			t.Errorf("not ripe %v sd above the need: mean %v, want %v", alpha, g.mean(), rho*lambda)
		}
		if want := math.Sqrt(1 - rho*rho*lambda*(lambda-alpha)); math.Abs(g.sd()-want) > 1e-5 {
			t.Errorf("not ripe %v sd above the need: sd %v, want %v", alpha, g.sd(), want)
		}
	}
}

// The script's quantiles of Student's t are the published ones (NIST/SEMATECH
// e-Handbook of Statistical Methods, 1.3.6.7.2, column 0.95, rows 2-9), and
// agree with the distribution.
func TestGardenStudent(t *testing.T) {
	src, err := os.ReadFile("../../templates/assets/garden.js")
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile(`var T95 = \[([^\]]*)\]`).FindSubmatch(src)
	if m == nil {
		t.Fatal("the script has no table of t")
	}
	published := []float64{2.920, 2.353, 2.132, 2.015, 1.943, 1.895, 1.860, 1.833}
	got := strings.Split(string(m[1]), ",")
	if len(got) != len(published) {
		t.Fatalf("%d quantiles", len(got))
	}
	for i, text := range got {
		v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
		exact := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(i + 2)}.Quantile(0.95)
		if err != nil || v != published[i] || math.Abs(v-exact) > 0.0006 {
			t.Errorf("%d degrees of freedom: %s, published %v, exact %v", i+2, text, published[i], exact)
		}
	}
}

// The page of a book full of markup answers without its script, and its data
// file is a script of texts and numbers alone.
func TestGardenPage(t *testing.T) {
	files, _ := render(t, hard(), page.Options{})
	html := text(t, files, "towns/aa/garden/index.html")
	for _, want := range []string{`One &#34;&lt;em&gt;1&lt;/em&gt;&#34;`, "Field &amp; &#34;Farm&#34;", `max="2020-12-31"`, `<script src="reckon.js" defer></script>`, "in a plain pot", `data-v="82"`} {
		if !strings.Contains(html, want) {
			t.Errorf("the page lacks %s", want)
		}
	}
	js := text(t, files, "towns/aa/garden/reckon.js")
	body, ok := strings.CutPrefix(strings.TrimSuffix(js, ";\n"), "window.ripewardGarden = ")
	var d struct {
		Lines []struct{ Name string }
		Ways  []struct {
			Lost    string
			Kill    map[string]int
			Kills   []string
			Seasons []struct{ From, Gain string }
			Book    map[string][3]int
		}
		Nights struct {
			Lows   []*int
			Freeze [2][4]*int
		}
	}
	if err := json.Unmarshal([]byte(body), &d); !ok || err != nil || strings.ContainsAny(js, "<>") {
		t.Fatalf("%v: %s", err, js)
	}
	w := d.Ways[0]
	if len(d.Lines) != 2 || w.Lost != "10" || w.Kills[w.Kill["one"]] != "0c00" || w.Seasons[0].From != "2020-05-21" || w.Seasons[0].Gain != "AM_" || w.Book["one/main/"] != [3]int{82, 41, 100} {
		t.Errorf("lines %v, way %+v", d.Lines, w)
	}
	if lows := d.Nights.Lows; len(lows) != 3 || *lows[0] != -103 || lows[1] != nil || d.Nights.Freeze[1][3] == nil {
		t.Errorf("nights %+v", d.Nights)
	}
	if _, there := files["towns/bb/garden/index.html"]; there {
		t.Error("a town without a record has a garden")
	}
	if !strings.Contains(text(t, files, "towns/aa/index.html"), `href="garden/index.html"`) || !strings.Contains(text(t, files, "plan/aa/index.html"), `href="../../towns/aa/garden/index.html"`) {
		t.Error("town or planner does not lead to the garden")
	}
}

// A town's data file stays small (60 kB gzipped).
func TestGardenFilesAreSmall(t *testing.T) {
	n := 0
	for at, data := range demoSite(t) {
		if !strings.HasSuffix(at, "/garden/reckon.js") {
			continue
		}
		n++
		var packed bytes.Buffer
		z := gzip.NewWriter(&packed)
		if _, err := z.Write(data); err != nil || z.Close() != nil {
			t.Fatal(err)
		}
		if packed.Len() > 60_000 {
			t.Errorf("%s takes %d bytes gzipped", at, packed.Len())
		}
	}
	if n < 5 {
		t.Errorf("%d files", n)
	}
}
