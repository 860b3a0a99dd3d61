package club

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"ripeward/build/diag"
	"ripeward/data"
)

// Options says how a club is loaded.
type Options struct {
	// SetAside leaves out table rows with errors, and the rows that refer to
	// them; their errors become warnings and stand in Club.Dropped.
	SetAside bool
	// Candidate is read as one more file; its rows stand in Club.Offers.
	Candidate *Candidate
}

// Load reads and checks the club in folder dir. All problems of all its
// tables are returned, sorted, with files named by their slash path in dir;
// the Club is returned with them, and is fit for use if none is an Error. The
// error is for what stands in the way of reading at all; where something can
// be tried it is a diag.Problem with a hint.
func Load(dir string, o Options) (*Club, diag.Problems, error) {
	if info, err := os.Stat(dir); err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			return nil, nil, problem(dir, "no such folder", "name the club's folder with --club")
		}
		return nil, nil, err
	} else if !info.IsDir() {
		return nil, nil, problem(dir, "not a folder", "name the club's folder with --club")
	}
	l := newLoader(dir)
	l.offered = o.Candidate
	if err := l.load(); err != nil {
		return nil, nil, err
	}
	l.takeOffers()
	l.settle(o.SetAside)
	l.club.buildIndex()
	slices.Sort(l.club.Inputs)
	l.club.Inputs = slices.Compact(l.club.Inputs)
	return l.club, l.problems.Sort(), nil
}

func problem(file, message, hint string) diag.Problem {
	return diag.Problem{Place: diag.Place{File: file}, Severity: diag.Error, Message: message, Hint: hint}
}

// BuiltIn is the folder that problems of the embedded tables name.
const BuiltIn = "built-in/"

// A loader holds everything while a club is read.
type loader struct {
	dir      string
	club     *Club
	problems diag.Problems
	names    []string // of files in data
	offered  *Candidate
	refused  map[string]bool
	// unsettled: club.toml has an error, so that nobody knows its date_order.
	unsettled bool

	zones     table[Zone]
	towns     table[Town]
	stations  table[Station]
	crops     table[Crop]
	classes   table[Class]
	cultivars table[Cultivar]
	methods   table[Method]
	stores    table[Store]
	storeLog  table[StoreReading]
	mixes     table[Mix]
	pots      table[Pot]
	feeds     table[Feed]
	tasks     table[Task]
	trees     table[Tree]
	reports   table[Report]

	order  []*tableBase
	tables map[string]*tableBase // by name
}

func newLoader(dir string) *loader {
	l := &loader{dir: dir, club: &Club{Dir: dir}, tables: map[string]*tableBase{}}
	prepare(l, &l.zones, zoneSpec)
	prepare(l, &l.towns, townSpec)
	prepare(l, &l.stations, stationSpec)
	prepare(l, &l.crops, cropSpec)
	prepare(l, &l.classes, classSpec)
	prepare(l, &l.cultivars, cultivarSpec)
	prepare(l, &l.methods, methodSpec)
	prepare(l, &l.stores, storeSpec)
	prepare(l, &l.storeLog, storeLogSpec)
	prepare(l, &l.mixes, mixSpec)
	prepare(l, &l.pots, potSpec)
	prepare(l, &l.feeds, feedSpec)
	prepare(l, &l.tasks, taskSpec)
	prepare(l, &l.trees, treeSpec)
	prepare(l, &l.reports, reportSpec)
	return l
}

func prepare[T any](l *loader, t *table[T], s *spec) {
	t.spec, t.l, t.addTo = s, l, t.add
	l.order = append(l.order, &t.tableBase)
	l.tables[s.name] = &t.tableBase
}

// What becomes of a table that the club does not have.
type absence int8

const (
	mayMiss  absence = iota // the table is empty
	mustHave                // an error
	embedded                // the one in the binary is read
)

func (l *loader) load() error {
	for _, e := range l.entries("data") {
		if !e.IsDir() {
			l.names = append(l.names, e.Name())
		}
	}
	if err := errors.Join(l.settings(), l.lastYear()); err != nil {
		return err
	}
	err := errors.Join(
		load(l, &l.zones, mustHave), load(l, &l.towns, mustHave), load(l, &l.stations, mustHave),
		load(l, &l.crops, embedded), load(l, &l.classes, embedded), load(l, &l.cultivars, mustHave),
		load(l, &l.methods, embedded), load(l, &l.stores, embedded), load(l, &l.storeLog, mayMiss),
		load(l, &l.mixes, embedded), load(l, &l.pots, embedded), load(l, &l.feeds, embedded),
		load(l, &l.tasks, embedded), load(l, &l.trees, mayMiss), l.reportFiles(), l.candidate())
	if err != nil {
		return err
	}
	l.stationFiles()
	l.content()
	l.strayFiles()
	for _, t := range l.order {
		t.checkCells()
		t.checkKeys()
	}
	for _, t := range l.order {
		l.checkRefs(t)
	}
	l.zones.checkNames()
	l.towns.checkNames()
	l.stations.checkNames()
	l.crops.checkNames()
	l.methods.checkNames()
	l.checkRows()
	return nil
}

// read reads a file of the club, given as a slash path in its folder. It
// returns false where there is none, or where it is no file of a fit size,
// which is noted.
func (l *loader) read(name string) ([]byte, bool, error) {
	full := filepath.Join(l.dir, filepath.FromSlash(name))
	info, ok := l.look(name)
	switch {
	case !ok:
		return nil, l.refused[name] || l.belowRefused(name), nil
	case info.IsDir():
		l.refuse(name, "not a regular file", "")
		return nil, true, nil
	}
	if info.Size() > maxFileBytes {
		l.problems = append(l.problems, problem(name, fmt.Sprintf("file of %d bytes; the limit is %d", info.Size(), maxFileBytes), "club tables are small: is this a station file?"))
		return nil, true, nil
	}
	b, err := os.ReadFile(full)
	if err != nil {
		l.refuse(name, "cannot be read: "+reason(err), "")
		return nil, true, nil
	}
	l.club.Inputs = append(l.club.Inputs, name)
	if b == nil {
		b = []byte{}
	}
	return b, true, nil
}

func (l *loader) settings() error {
	b, there, err := l.read(settingsFile)
	if err != nil {
		return err
	}
	switch {
	case !there:
		hint := `a line name = "..." in it is enough; is this the club's folder? --club names another`
		if n := l.sibling("club.toml"); n != "" {
			hint = fmt.Sprintf("rename data/%s", n)
		}
		l.problems = append(l.problems, problem(settingsFile, "the club has no settings file", hint))
		fallthrough
	case b == nil:
		l.club.Settings, _ = readSettings(nil)
	default:
		s, ps := readSettings(b)
		l.club.Settings = s
		l.problems = append(l.problems, ps...)
	}
	l.unsettled = l.problems.Count(diag.Error) > 0
	return nil
}

// sibling returns the file in data whose name comes nearest to a missing one,
// if it is not a file of its own right.
func (l *loader) sibling(name string) string {
	var others []string
	for _, n := range l.names {
		if path.Ext(strings.ToLower(n)) == path.Ext(name) && !l.known(n) {
			others = append(others, n)
		}
	}
	return diag.Nearest(name, others)
}

func (l *loader) known(name string) bool {
	if name == path.Base(settingsFile) {
		return true
	}
	return slices.ContainsFunc(l.order, func(t *tableBase) bool { return path.Base(t.spec.file) == name && t.spec.name != "reports" })
}

func load[T any](l *loader, t *table[T], a absence) error {
	b, there, err := l.read(t.spec.file)
	switch {
	case err != nil:
		return err
	case there && b == nil:
		t.broken = true
	case there:
		t.add(l, t.spec.file, b)
		if a == mustHave && !t.broken && len(t.rows) == 0 && len(t.lost) == 0 {
			t.broken = true
			l.problems = append(l.problems, problem(t.spec.file, "the table has a header and no rows", tableHint(t.spec)))
		}
	case a == embedded:
		file := path.Base(t.spec.file)
		if b, err = data.Rules.ReadFile(file); err != nil {
			return err
		}
		t.add(l, BuiltIn+file, b)
	case a == mustHave:
		t.broken = true
		hint := tableHint(t.spec)
		if n := l.sibling(path.Base(t.spec.file)); n != "" {
			hint = fmt.Sprintf("rename data/%s", n)
		}
		l.problems = append(l.problems, problem(t.spec.file, "the club has no such table", hint))
	}
	return nil
}

func tableHint(s *spec) string {
	return "it needs the columns " + strings.Join(s.required(), ", ")
}

// strayFiles warns of tables that nothing reads, most likely misnamed.
func (l *loader) strayFiles() {
	var names []string
	for _, t := range l.order {
		if t.spec.name != "reports" {
			names = append(names, path.Base(t.spec.file))
		}
	}
	for _, n := range l.names {
		switch strings.ToLower(path.Ext(n)) {
		case ".csv", ".tsv", ".txt", ".xls", ".xlsx", ".ods":
		default:
			continue
		}
		if l.known(n) || hidden(n) {
			continue
		}
		hint := "tables: " + strings.Join(names, ", ") + "; reports stand in the folder data/reports"
		near := diag.Nearest(n, names)
		switch strings.ToLower(path.Ext(n)) {
		case ".xls", ".xlsx", ".ods":
			hint = "a workbook is for you alone: save its table as CSV in UTF-8, and keep the workbook elsewhere"
		default:
			if near != "" {
				hint = fmt.Sprintf("did you mean %s?", near)
			}
		}
		l.problems = append(l.problems, diag.Problem{Place: diag.Place{File: "data/" + n}, Severity: diag.Warning,
			Message: "file is not read", Hint: hint})
	}
}

// hidden tells whether a file is none of the club's: hidden ones, notes to the
// reader, and what an office program leaves beside an open file (~$).
func hidden(name string) bool {
	return strings.HasPrefix(name, ".") || strings.HasPrefix(name, "~$") || strings.HasPrefix(strings.ToUpper(name), "README")
}
