package almanac

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"ripeward/build/club"
	"ripeward/build/diag"
	"ripeward/build/ripening"
)

// Grow is a club with its weather, of which any season of any town can be
// asked as the ripening model sees it. It is safe for use by several
// goroutines.
type Grow struct {
	book     *Book
	kit      *kit
	sources  []*source
	rows     map[string]club.Town
	jobs     int
	progress func(diag.Step)
	memory   *memory

	mu     sync.Mutex
	places map[string]*settling
}

type settling struct {
	once  sync.Once
	place *place
}

// NewGrow reads a checked club's station files. The error is about I/O, or
// ErrNoRecord.
func NewGrow(_ context.Context, c *club.Club, o Options) (*Grow, error) {
	if o.Jobs <= 0 {
		o.Jobs = runtime.GOMAXPROCS(0)
	}
	g := &Grow{jobs: o.Jobs, progress: o.Progress, rows: map[string]club.Town{}, places: map[string]*settling{}}
	var err error
	if g.memory, err = newMemory(c, o.Cache); err != nil {
		return nil, err
	}
	if g.book, g.sources, err = open(c, o, g.memory); err != nil {
		return nil, err
	}
	g.kit = newKit(c)
	for _, t := range c.Towns {
		g.rows[string(t.ID)] = t
	}
	return g, nil
}

// say tells what is being worked on, a piece without parts that could be
// counted.
func (g *Grow) say(what string) {
	if g.progress != nil {
		g.progress(diag.Step{What: what})
	}
}

func (g *Grow) counting(what string, of int) (ready func()) { return counting(g.progress, what, of) }

// counting tells of a piece of work with of parts, and returns what is to be
// called after each of them.
func counting(progress func(diag.Step), what string, of int) (ready func()) {
	if progress == nil {
		return func() {}
	}
	var done atomic.Int64
	progress(diag.Step{What: what, Of: of})
	return func() { progress(diag.Step{What: what, Done: int(done.Add(1)), Of: of}) }
}

// each calls do for 0...n-1, several at a time.
func (g *Grow) each(ctx context.Context, n int, do func(i int)) error {
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(g.jobs)
	for i := range n {
		group.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			do(i)
			return nil
		})
	}
	return group.Wait()
}

// place returns a town with its weather, worked out once; nil for a town that
// the club does not have.
func (g *Grow) place(town string) *place {
	row, ok := g.rows[town]
	if !ok {
		return nil
	}
	g.mu.Lock()
	s := g.places[town]
	if s == nil {
		s = &settling{}
		g.places[town] = s
	}
	g.mu.Unlock()
	s.once.Do(func() { s.place = settle(g.book, g.sources, row) })
	return s.place
}

// forget lets a town's weather go: a thousand of them would fill the memory.
func (g *Grow) forget(town string) {
	g.mu.Lock()
	delete(g.places, town)
	g.mu.Unlock()
}

// Season returns a season of a town under a method, for a crop's own limits;
// false where the club has no such town, crop or method, or no usable weather
// for that year. The season that the record ends in has weather until then.
func (g *Grow) Season(town, crop, method string, year int) (*ripening.Season, bool) {
	p, ck, m := g.place(town), g.kit.crops[crop], g.kit.method(method)
	if p == nil || p.weather == nil || ck == nil || m == nil {
		return nil, false
	}
	y := p.weather.year(year)
	if y == nil {
		return nil, false
	}
	return ripening.NewSeason(y, &ck.model, &m.model), true
}

// Plan returns a method's dates in a town with a head start of so many weeks;
// false where the town or method is unknown, or no date can be planned.
func (g *Grow) Plan(town, method string, weeks int) (ripening.Plan, bool) {
	p, m := g.place(town), g.kit.method(method)
	if p == nil || p.anchors == nil || m == nil {
		return ripening.Plan{}, false
	}
	plan := p.anchors.plan(m, weeks)
	return plan, plan.Out.OK || m.model.Ground
}

// WinterLow returns the lowest temperature (°C) of the winter before a season
// in a town; false where it is not known.
func (g *Grow) WinterLow(town string, year int) (float64, bool) {
	p := g.place(town)
	if p == nil || p.weather == nil {
		return 0, false
	}
	low := p.weather.low(year)
	return low, low == low
}
