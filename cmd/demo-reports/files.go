package main

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"

	"ripeward/build/day"
)

// file is one table, by its path under data.
type file struct {
	name string
	text []byte
}

// files writes the trees and one table of reports a year.
func (w *world) files() ([]file, error) {
	all, err := w.reports()
	if err != nil {
		return nil, err
	}
	out := []file{treesFile()}
	for year := firstYear; year <= lastYear; year++ {
		out = append(out, reportsFile(year, all))
	}
	return out, nil
}

// reports draws every report, with the mess that growers' reports come in.
func (w *world) reports() ([]*report, error) {
	var all []*report
	for year := firstYear; year <= lastYear; year++ {
		for i := range trees {
			if t := &trees[i]; year >= t.Since && (t.Until == 0 || year <= t.Until) {
				all = append(all, w.reported(t, year)...)
			}
		}
	}
	all, err := w.messUp(all)
	if err != nil {
		return nil, err
	}
	// A year's reports stand in the order of their trees; what came in later,
	// duplicates first of all, at the end.
	slices.SortStableFunc(all, func(a, b *report) int { return cmp.Compare(a.file, b.file) })
	n := map[int]int{}
	for _, r := range all {
		n[r.file]++
		r.id = fmt.Sprintf("%d-%02d", r.file, n[r.file])
	}
	return all, nil
}

func reportsFile(year int, all []*report) file {
	rows := [][]string{{"report_id", "town_id", "cultivar_id", "name_as_given", "crop_part", "method_id", "year", "outcome",
		"head_start_weeks", "woke_on", "leafed_on", "moved_out_on", "figlet_on", "seen_on", "checked_on", "date_precision",
		"brebas", "dieback", "tree_id", "tree_age_y", "grower", "consent", "status", "notes"}}
	for _, r := range all {
		if r.file == year {
			rows = append(rows, r.cells())
		}
	}
	return file{fmt.Sprintf("reports/%d.csv", year), table("Invented reports of invented growers, drawn by cmd/demo-reports: nothing here was ever seen.", rows)}
}

func (r *report) cells() []string {
	whole := func(n int) string {
		if n < 0 {
			return ""
		}
		return strconv.Itoa(n)
	}
	date := day.Date.String
	return []string{r.id, r.town, r.cultivar, r.name, r.part, r.method, strconv.Itoa(r.year), r.outcome,
		whole(r.weeks), date(r.woke), date(r.leafed), date(r.out), date(r.figlet), date(r.seen), date(r.checked), r.precision,
		r.brebas, r.dieback, r.treeID, whole(r.age), r.grower, r.consent, r.status, r.notes}
}

func treesFile() file {
	rows := [][]string{{"tree_id", "grower", "town_id", "cultivar_id", "method_id", "since_year", "until_year", "pot_litres", "site"}}
	some := func(n int) string {
		if n == 0 {
			return ""
		}
		return strconv.Itoa(n)
	}
	for _, t := range trees {
		if t.listed() {
			rows = append(rows, []string{t.ID, t.Grower, t.Town, t.Cultivar, t.Method, some(t.Since), some(t.Until), some(t.PotLitres), t.Site})
		}
	}
	return file{"trees.csv", table("Invented trees of invented growers, drawn up by cmd/demo-reports: what each keeps and how, so that a year without a report is seen as unknown, not as a failure.", rows)}
}

// table writes a comment and rows.
func table(comment string, rows [][]string) []byte {
	var b bytes.Buffer
	b.WriteString("# " + comment + "\n")
	c := csv.NewWriter(&b)
	c.WriteAll(rows) // a bytes.Buffer takes everything
	return b.Bytes()
}
