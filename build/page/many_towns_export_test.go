package page

import "ripeward/build/almanac"

// RenderFew writes the first page, the search, and the first town, zone and
// grid of a large club's site, with all assets, without the thousands of others.
func RenderFew(b *almanac.Book, o Options, put func(path string, data []byte) error) error {
	languages, err := loadLanguages(b)
	if err != nil {
		return err
	}
	out := &output{put: put, seen: map[string]bool{}, sums: map[string][32]byte{}}
	r, err := newRendering(b, o, languages[0], nil, out)
	if err != nil {
		return err
	}
	zone := &r.site.club.Zones[0]
	for _, work := range []func() error{
		r.home,
		r.searching,
		r.comparing,
		func() error { return r.town(&b.Towns[0]) },
		func() error {
			return r.page("zones/"+string(zone.ID)+"/index.html", "zone", string(zone.Name), "", nil, r.site.zonePage(zone, r.all))
		},
		func() error { return r.grid(&r.site.club.Methods[0], zone) },
		func() error { return r.cultivar(&r.site.club.Cultivars[0], nil) },
	} {
		if err := work(); err != nil {
			return err
		}
	}
	for at, data := range r.site.assets.files {
		if err := out.asset(at, data); err != nil {
			return err
		}
	}
	return nil
}
