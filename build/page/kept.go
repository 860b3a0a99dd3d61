package page

import (
	"crypto/sha256"
	"sync"

	"ripeward/build/almanac"
	"ripeward/build/cache"
	"ripeward/build/tables"
)

// Kept is what a rendering wrote, piece by piece. The next one takes over the
// pieces whose grounds are the same; the others it renders.
type Kept map[string]KeptPiece

// KeptPiece is a page or a few that are written together.
type KeptPiece struct {
	RestsOn cache.Sum // all that its bytes hang on
	Files   []KeptFile
	Pages   []string // those of Files that are pages a sitemap lists
}

// KeptFile is a file as it was written.
type KeptFile struct {
	Path   string
	Size   int64
	SHA256 cache.Sum
}

// piece is some work of a rendering: it writes one page or a few.
type piece struct {
	name    string    // unique within a language; blank: always rendered
	restsOn cache.Sum // zero: always rendered
	do      func(*rendering) error
}

// grounds hash what pages hang on.
type grounds struct {
	frame cache.Sum            // what all pages of a language share
	towns map[string]cache.Sum // by town
}

// groundsOf hashes what every page of a language hangs on: the book's tables
// and learned needs, what frames a page, and what pages link to. A zero frame
// means that nothing can be taken over.
func (s *site) groundsOf() grounds {
	g := grounds{towns: map[string]cache.Sum{}}
	if s.book.RestsOn == (cache.Sum{}) {
		return g
	}
	for i := range s.book.Towns {
		g.towns[string(s.book.Towns[i].Row.ID)] = s.book.Towns[i].RestsOn
	}
	var none *cache.Cache // the book's own sum holds the program's
	k := none.Key("frame").Sum(s.book.RestsOn).Text(s.options.Version).Text(s.Tag)
	k.Value(s.assets.names())
	for _, list := range [][]guide{s.guides, s.extra} {
		for i := range list {
			x := &list[i]
			k.Text(x.Name).Text(x.Path).Text(x.Lang).Text(x.Page.Card.Title).Text(x.Page.Card.Summary).Value(x.Page.Headings)
		}
	}
	g.frame = k.End()
	return g
}

// of joins the frame with the grounds of some towns.
func (g grounds) of(towns ...*almanac.Town) cache.Sum {
	if g.frame == (cache.Sum{}) {
		return cache.Sum{}
	}
	var none *cache.Cache
	k := none.Key("towns").Sum(g.frame)
	for _, t := range towns {
		k.Text(string(t.Row.ID)).Sum(g.towns[string(t.Row.ID)])
	}
	return k.End()
}

// keeping is a rendering's part of Kept, last time's and this time's.
type keeping struct {
	last  Kept
	reuse func([]KeptFile) bool

	mu  sync.Mutex
	now Kept
}

// run does a piece of work, or takes over what it wrote last time.
func (r *rendering) run(p piece) error {
	k := r.keeping
	if k == nil || p.name == "" || p.restsOn == (cache.Sum{}) {
		return p.do(r)
	}
	name := r.site.Tag + " " + p.name
	if _, ok, err := k.takeOver(name, p.restsOn, r.output); ok || err != nil {
		return err
	}
	own := *r
	own.piece = &KeptPiece{RestsOn: p.restsOn}
	if err := p.do(&own); err != nil {
		return err
	}
	k.keep(name, *own.piece)
	return nil
}

// takeOver puts the files of a piece into the site as they were; false where
// they are not to be had, or rest on something else now.
func (k *keeping) takeOver(name string, restsOn cache.Sum, out *output) (KeptPiece, bool, error) {
	last, ok := k.last[name]
	if !ok || last.RestsOn != restsOn || !k.reuse(last.Files) {
		return KeptPiece{}, false, nil
	}
	k.keep(name, last)
	return last, true, out.takeOver(last)
}

// downloads writes the downloads, those of towns only where they are not kept.
func (k *keeping) downloads(b *almanac.Book, jobs int, out *output) ([]tables.Download, error) {
	put := func(_, name string, data []byte) error { return out.emit("downloads/"+name, data) }
	if k == nil || b.RestsOn == (cache.Sum{}) {
		return tables.Downloads(b, jobs, nil, put)
	}
	towns := map[string]cache.Sum{}
	for i := range b.Towns {
		var none *cache.Cache
		towns[string(b.Towns[i].Row.ID)] = none.Key("download").Sum(b.RestsOn).Sum(b.Towns[i].RestsOn).End()
	}
	kept := func(town, name string) (int, [32]byte, bool, error) {
		p, ok, err := k.takeOver(name, towns[town], out)
		if !ok || err != nil {
			return 0, [32]byte{}, ok, err
		}
		return int(p.Files[0].Size), p.Files[0].SHA256, true, nil
	}
	return tables.Downloads(b, jobs, kept, func(town, name string, data []byte) error {
		if town != "" {
			p := KeptPiece{RestsOn: towns[town]}
			p.wrote("downloads/"+name, data)
			k.keep(name, p)
		}
		return put(town, name, data)
	})
}

func (k *keeping) keep(name string, p KeptPiece) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.now[name] = p
}

// wrote notes a file of a piece.
func (p *KeptPiece) wrote(at string, data []byte) {
	if p != nil {
		p.Files = append(p.Files, KeptFile{at, int64(len(data)), sha256.Sum256(data)})
	}
}
