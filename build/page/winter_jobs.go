package page

import "ripeward/build/almanac"

// restOfYear writes a town's pages beside ripening: winter, tents, figlets,
// water and feed, each where there is something to say.
func (r *rendering) restOfYear(t *almanac.Town) error {
	s := r.site
	id, name := string(t.Row.ID), s.in(t.Row.Row, "name", t.Row.Name)
	up := []link{{s.Say("Home"), "../../../index.html"}, {name, "../index.html"}}
	at := func(page string) string { return "towns/" + id + "/" + page + "/index.html" }
	if hasWinter(t) {
		m, err := s.winterPage(t)
		if err != nil {
			return err
		}
		if err := r.page(at("winter"), "winter", s.Say("%s: winter", name), s.Say("Is my shed too cold? Stores and wood in the ground in %s, winter by winter.", name), up, m); err != nil {
			return err
		}
	}
	if s.hasTents(t) {
		m, err := s.tentsPage(t)
		if err != nil {
			return err
		}
		if err := r.page(at("tents"), "tents", s.Say("%s: tents", name), s.Say("What heating a tent in %s takes by start date, and what a tent gives without a heater.", name), up, m); err != nil {
			return err
		}
	}
	if hasFiglets(t) {
		m := s.figletsPage(t)
		if err := r.page(at("figlets"), "figlets", s.Say("%s: will these green figs make it?", name), m.Lead, up, m); err != nil {
			return err
		}
	}
	if s.hasTownPots(t) {
		return r.page(at("pots"), "town-pots", s.Say("%s: water and feed", name), s.Say("What pots in %s drink month by month, how long they last, and when to feed.", name), up, s.townPotsPage(t))
	}
	return nil
}

// pots writes the page on pots and the data of its calculators.
func (r *rendering) pots() error {
	s := r.site
	data, err := s.reckonFile()
	if err != nil {
		return err
	}
	if err := r.emit("pots/reckon.js", data); err != nil {
		return err
	}
	return r.page("pots/index.html", "pots", s.Say("Pots, mixes, water and feed"), s.Say("Pot sizes and weights, mixes by volume, feed by strength and dilution, and water a day."),
		[]link{{s.Say("Home"), "../index.html"}}, s.potsPage())
}

// moreOf are the links from a town's page to its pages on the rest of the year.
func (s *site) moreOf(t *almanac.Town) []link {
	var out []link
	add := func(there bool, text, folder string) {
		if there {
			out = append(out, link{text, folder + "/index.html"})
		}
	}
	add(hasWinter(t), s.Say("Winter and stores"), "winter")
	add(s.hasTents(t), s.Say("Tents"), "tents")
	add(s.hasTownPots(t), s.Say("Water and feed"), "pots")
	add(hasGarden(t), s.Say("Your garden"), "garden")
	add(hasFiglets(t), s.Say("Will green figs make it?"), "figlets")
	return out
}
