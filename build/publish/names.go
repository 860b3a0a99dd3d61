package publish

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// checkPath tells why a slash path cannot be a file of a site, or nil. A site
// must be servable and copyable on every file system in use, so names that
// only some of them take are refused on all.
func checkPath(path string) error {
	if path == "" {
		return fmt.Errorf("an empty path")
	}
	if path[0] == '/' {
		return fmt.Errorf("%q is absolute", path)
	}
	for name := range strings.SplitSeq(path, "/") {
		if err := checkName(name); err != nil {
			return fmt.Errorf("%q %w", path, err)
		}
	}
	return nil
}

// reserved are the device names of Windows: they cannot be file names there,
// with or without an extension.
var reserved = map[string]bool{
	"con": true, "prn": true, "aux": true, "nul": true,
	"com1": true, "com2": true, "com3": true, "com4": true, "com5": true, "com6": true, "com7": true, "com8": true, "com9": true,
	"lpt1": true, "lpt2": true, "lpt3": true, "lpt4": true, "lpt5": true, "lpt6": true, "lpt7": true, "lpt8": true, "lpt9": true,
}

func checkName(name string) error {
	switch {
	case name == "":
		return fmt.Errorf("has an empty part")
	case name == "." || name == "..":
		return fmt.Errorf("has a part %q", name)
	case len(name) > 255:
		return fmt.Errorf("has a part of more than 255 bytes")
	case !utf8.ValidString(name):
		return fmt.Errorf("is not UTF-8")
	case strings.HasSuffix(name, ".") || strings.HasSuffix(name, " "):
		return fmt.Errorf("has a part that ends in a full stop or space")
	}
	for _, r := range name {
		if r < ' ' || r == 0x7f || strings.ContainsRune(`<>:"|?*\`, r) {
			return fmt.Errorf("has the character %q", r)
		}
	}
	stem, _, _ := strings.Cut(strings.ToLower(name), ".")
	if reserved[strings.TrimRight(stem, " ")] {
		return fmt.Errorf("has the reserved name %q", stem)
	}
	return nil
}

// tree is the set of names of a site, to find those that would fall on each
// other where letter case does not count.
type tree map[string]entry

type entry struct {
	spelling string
	dir      bool
}

func fold(s string) string { return strings.ToLower(strings.ToUpper(s)) }

// add claims a checked path for a file and its parents for folders.
func (t tree) add(path string) error {
	for i := 0; ; {
		j := strings.IndexByte(path[i:], '/')
		if j < 0 {
			break
		}
		i += j
		dir := path[:i]
		if e, ok := t[fold(dir)]; ok && !e.dir {
			return fmt.Errorf("%q needs the folder %q, which is a file", path, e.spelling)
		} else if ok && e.spelling != dir {
			return fmt.Errorf("%q and %q differ only in letter case", dir, e.spelling)
		}
		t[fold(dir)] = entry{dir, true}
		i++
	}
	if e, ok := t[fold(path)]; ok {
		switch {
		case e.dir:
			return fmt.Errorf("%q is a folder already", e.spelling)
		case e.spelling == path:
			return fmt.Errorf("%q is written twice", path)
		}
		return fmt.Errorf("%q and %q differ only in letter case", path, e.spelling)
	}
	t[fold(path)] = entry{path, false}
	return nil
}
