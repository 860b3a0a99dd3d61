package page

import "ripeward/build/almanac"

// restOfYear writes a town's pages beside ripening: winter, tents, figlets,
// water and feed, each where there is something to say.
func (r *rendering) restOfYear(t *almanac.Town) error {
	s := r.site
	id, name := string(t.Row.ID), string(t.Row.Name)
	up := []link{{"Home", "../../../index.html"}, {name, "../index.html"}}
	at := func(page string) string { return "towns/" + id + "/" + page + "/index.html" }
	if hasWinter(t) {
		m, err := s.winterPage(t)
		if err != nil {
			return err
		}
		if err := r.page(at("winter"), "winter", name+": winter", "Is my shed too cold? Stores and wood in the ground in "+name+", winter by winter.", up, m); err != nil {
			return err
		}
	}
	if s.hasTents(t) {
		m, err := s.tentsPage(t)
		if err != nil {
			return err
		}
		if err := r.page(at("tents"), "tents", name+": tents", "What heating a tent in "+name+" takes by start date, and what a tent gives without a heater.", up, m); err != nil {
			return err
		}
	}
	if hasFiglets(t) {
		m := s.figletsPage(t)
		if err := r.page(at("figlets"), "figlets", name+": will these green figs make it?", m.Lead, up, m); err != nil {
			return err
		}
	}
	if s.hasTownPots(t) {
		return r.page(at("pots"), "town-pots", name+": water and feed", "What pots in "+name+" drink month by month, how long they last, and when to feed.", up, s.townPotsPage(t))
	}
	return nil
}

// pots writes the page on pots and the data of its calculators.
func (r *rendering) pots() error {
	data, err := r.site.reckonFile()
	if err != nil {
		return err
	}
	if err := r.emit("pots/reckon.js", data); err != nil {
		return err
	}
	return r.page("pots/index.html", "pots", "Pots, mixes, water and feed", "Pot sizes and weights, mixes by volume, feed by strength and dilution, and water a day.",
		[]link{{"Home", "../index.html"}}, r.site.potsPage())
}

// moreOf are the links from a town's page to its pages on the rest of the year.
func (s *site) moreOf(t *almanac.Town) []link {
	var out []link
	add := func(there bool, text, folder string) {
		if there {
			out = append(out, link{text, folder + "/index.html"})
		}
	}
	add(hasWinter(t), "Winter and stores", "winter")
	add(s.hasTents(t), "Tents", "tents")
	add(s.hasTownPots(t), "Water and feed", "pots")
	add(hasFiglets(t), "Will green figs make it?", "figlets")
	return out
}
