package main

import (
	"fmt"
	"strings"

	"ripeward/build/club"
)

// called is a row that can be asked for by its id or any of its names.
type called struct {
	id    string
	names []string
}

// namesOf lists a row's name and the name in other languages.
func namesOf(name club.Text, r club.Row) []string {
	names := []string{string(name)}
	for column, text := range r.Other {
		if strings.HasPrefix(column, "name_") {
			names = append(names, text)
		}
	}
	return names
}

func callTowns(c *club.Club) []called {
	var out []called
	for i := range c.Towns {
		out = append(out, called{string(c.Towns[i].ID), namesOf(c.Towns[i].Name, c.Towns[i].Row)})
	}
	return out
}

func callCultivars(c *club.Club) []called {
	var out []called
	for i := range c.Cultivars {
		r := &c.Cultivars[i]
		out = append(out, called{string(r.ID), append(namesOf(r.Name, r.Row), r.AlsoCalled...)})
	}
	return out
}

func callMethods(c *club.Club) []called {
	var out []called
	for i := range c.Methods {
		out = append(out, called{string(c.Methods[i].ID), namesOf(c.Methods[i].Name, c.Methods[i].Row)})
	}
	return out
}

// pick returns the id of the row that word means: by its id, or by a name,
// ignoring case, spaces and marks. The error is a misuse with what to try.
func pick(kind, word string, rows []called) (string, error) {
	var ids, names, found []string
	for _, r := range rows {
		if r.id == word {
			return r.id, nil
		}
		hit := plain(r.id) == plain(word)
		for _, n := range r.names {
			hit = hit || plain(n) == plain(word)
		}
		if hit {
			found = append(found, r.id)
		}
		ids, names = append(ids, r.id), append(names, r.names...)
	}
	switch {
	case len(found) == 1 && plain(word) != "":
		return found[0], nil
	case len(found) > 1:
		return "", &wrongUse{fmt.Sprintf("%q can be the %s %s", word, kind, strings.Join(found, " or ")), "give its id"}
	}
	return "", &wrongUse{fmt.Sprintf("no %s %q in this club", kind, word), didYouMean(word, ids, didYouMean(word, names, idsOf(kind, ids)))}
}

// idsOf is the hint where no name comes near.
func idsOf(kind string, ids []string) string {
	const most = 12
	if len(ids) > most {
		return fmt.Sprintf("%ss: %s and %d more", kind, strings.Join(ids[:most], ", "), len(ids)-most)
	}
	return kind + "s: " + strings.Join(ids, ", ")
}

// plain is a name without case, spaces and marks.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(" _-'’.", r) {
			return -1
		}
		return r
	}, strings.ToLower(s))
}
