package figure

import "fmt"

// SVG draws the ripening race. A line without any value in the range is left
// out with its name; a race without any is ErrNothing. Other errors: ErrHead,
// ErrRange (also for a share outside 0-1), ErrNotFinite, ErrShape, ErrKind.
func (r Race) SVG() ([]byte, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	if err := checkRange(r.From, r.Until); err != nil {
		return nil, err
	}
	if err := checkTicks(r.Ticks); err != nil {
		return nil, err
	}
	if err := checkTicks(r.YTicks); err != nil {
		return nil, err
	}
	pl := plot{head: r.Head, kind: "race", x: scale{lo: r.From, hi: r.Until}, y: scale{lo: 0, hi: 1},
		xTicks: r.Ticks, yTicks: r.YTicks, yLabel: r.YLabel, height: 300}
	if r.narrow() {
		pl.height = 220
	}
	if len(pl.yTicks) == 0 {
		pl.yTicks = []Tick{{At: 0, Label: "0"}, {At: 0.25, Label: "25"}, {At: 0.5, Label: "50"}, {At: 0.75, Label: "75"}, {At: 1, Label: "100\u00a0%"}}
	}
	for _, l := range r.Lines {
		c, err := checkLine(l, r.From, r.Until)
		if err != nil {
			return nil, err
		}
		for _, run := range c.runs {
			for i, q := range run {
				if q.y < -1e-6 || q.y > 1+1e-6 {
					return nil, fmt.Errorf("%w: line %q has the share %v", ErrRange, l.Label, q.y)
				}
				run[i].y = min(max(q.y, 0), 1)
			}
		}
		if len(c.runs) > 0 {
			pl.lines = append(pl.lines, c)
		}
	}
	if len(pl.lines) == 0 {
		return nil, fmt.Errorf("race %s: %w", r.ID, ErrNothing)
	}
	return pl.draw()
}
