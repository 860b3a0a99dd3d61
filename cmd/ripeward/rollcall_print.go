package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"ripeward/build/diag"
	"ripeward/build/page"
)

// rollCallMark is in every file of sheets that this command wrote, which it may
// write again; any other file is left alone.
const rollCallMark = `<body class="k-roll-call-filled">`

// printRoll writes the sheets as a file to print. The file is for the club's
// eyes: nobody else on the machine may read it.
func (a *app) printRoll(r *rollCall) error {
	if err := a.mayPrint(a.printTo); err != nil {
		return err
	}
	var growers []page.RollGrower
	for _, g := range r.growers {
		x := page.RollGrower{Code: g.code}
		for _, t := range g.trees {
			tree := page.RollTree{Tree: t.Tree, Cultivar: t.cultivar, Town: t.town, Method: t.method}
			for _, p := range t.parts {
				tree.Parts = append(tree.Parts, page.RollPart{Name: p.name, Last: p.last, This: p.this})
			}
			x.Trees = append(x.Trees, tree)
		}
		growers = append(growers, x)
	}
	data, err := page.PrintRollCall(r.club, r.year, growers, version)
	if err != nil {
		return err
	}
	return replace(a.printTo, data)
}

// mayPrint says why a file must not be written, or nil.
func (a *app) mayPrint(to string) error {
	inside, err := within(a.site, to)
	if err != nil {
		return err
	}
	if inside {
		return &wrongUse{fmt.Sprintf("--print %q is inside the site's folder", to), "the sheets hold growers' codes: name a place outside " + a.site}
	}
	have, err := os.ReadFile(to)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return diag.Problem{Place: diag.Place{File: to}, Severity: diag.Error, Message: "cannot be written: " + reason(err), Hint: "name a file with --print"}
	case !bytes.Contains(have, []byte(rollCallMark)):
		return diag.Problem{Place: diag.Place{File: to}, Severity: diag.Error, Message: "there is a file of another kind", Hint: "name a new file with --print"}
	}
	return nil
}

// within tells whether a file would lie in a folder, symbolic links followed.
func within(folder, file string) (bool, error) {
	dir, err := real(folder)
	if err != nil {
		return false, err
	}
	at, err := real(file)
	if err != nil {
		return false, err
	}
	rel, err := filepath.Rel(dir, at)
	if err != nil {
		return false, nil // on another volume
	}
	return rel == "." || rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator)), nil
}

// real is the true place of a path of which the end need not exist yet.
func real(path string) (string, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return "", err
	}
	rest := ""
	for at := path; ; at = filepath.Dir(at) {
		if found, err := filepath.EvalSymlinks(at); err == nil {
			return filepath.Join(found, rest), nil
		}
		if filepath.Dir(at) == at {
			return path, nil
		}
		rest = filepath.Join(filepath.Base(at), rest)
	}
}

// replace writes a file beside its place and moves it there, so that nobody
// finds half of one.
func replace(to string, data []byte) error {
	fail := func(err error) error {
		return diag.Problem{Place: diag.Place{File: to}, Severity: diag.Error, Message: "cannot be written: " + reason(err), Hint: "its folder must exist and be writable"}
	}
	f, err := os.CreateTemp(filepath.Dir(to), ".roll-call-*") // only its owner may read it
	if err != nil {
		return fail(err)
	}
	_, err = f.Write(data)
	if err = errors.Join(err, f.Close()); err == nil {
		err = os.Rename(f.Name(), to)
	}
	if err != nil {
		os.Remove(f.Name())
		return fail(err)
	}
	return nil
}

// reason is an error of the system without the path that the message has.
func reason(err error) string {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err.Error()
	}
	return err.Error()
}
