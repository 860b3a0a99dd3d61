package needs

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

const (
	// maxHeat bounds every figure given, °C·d: more than a year all at 50 °C
	// sums up above 0 °C.
	maxHeat = 2e4
	// minSd is the least prior standard deviation used, °C·d; a smaller one,
	// zero included, is raised to it. It is well under the 5 °C·d to which
	// figures are published.
	minSd = 1.0
)

// data are the checked input, in an order that does not depend on that of the
// reports.
type data struct {
	priors  []Prior // sds raised to minSd
	obs     []Observation
	opt     Options
	crop    []int // need → crop, numbered from 0
	crops   int
	growers []int
	rows    [][]int // grower → reports, by need
}

// newData checks and orders the input.
func newData(priors []Prior, obs []Observation, opt Options) (*data, error) {
	d := &data{priors: slices.Clone(priors), obs: slices.Clone(obs), opt: opt}
	number := map[int]int{}
	for c := range d.priors {
		p := &d.priors[c]
		if err := p.check(); err != nil {
			return nil, fmt.Errorf("prior of need %d: %w", c, err)
		}
		p.SE, p.GardenSd, p.YearSd = max(p.SE, minSd), max(p.GardenSd, minSd), max(p.YearSd, minSd)
		if _, known := number[p.Crop]; !known {
			number[p.Crop] = len(number)
		}
		d.crop = append(d.crop, number[p.Crop])
	}
	d.crops = len(number)
	byGrower := map[int][]int{}
	for i, o := range d.obs {
		if err := o.check(len(priors)); err != nil {
			return nil, fmt.Errorf("observation %d: %w", i, err)
		}
		if first := byGrower[o.Grower]; len(first) > 0 && d.crop[d.obs[first[0]].Need] != d.crop[o.Need] {
			return nil, fmt.Errorf("observation %d: grower %d stands for two crops; give each grower one index a crop", i, o.Grower)
		}
		byGrower[o.Grower] = append(byGrower[o.Grower], i)
	}
	for g := range byGrower {
		d.growers = append(d.growers, g)
	}
	slices.Sort(d.growers)
	for _, g := range d.growers {
		rows := byGrower[g]
		slices.SortStableFunc(rows, func(i, j int) int { return d.obs[i].compare(d.obs[j]) })
		d.rows = append(d.rows, rows)
	}
	return d, nil
}

// start is the prior's mode.
func (d *data) start() state {
	s := state{mu: make([]float64, len(d.priors)), a: make([]float64, d.crops), b: make([]float64, d.crops)}
	for c, p := range d.priors {
		s.mu[c] = p.Mu
	}
	return s
}

func (p Prior) check() error {
	if !isHeat(p.Mu) {
		return fmt.Errorf("%g °C·d is no heat need", p.Mu)
	}
	for _, sd := range []float64{p.SE, p.GardenSd, p.YearSd} {
		if !isHeat(sd) || sd < 0 {
			return fmt.Errorf("%g °C·d is no standard deviation", sd)
		}
	}
	return nil
}

func isHeat(v float64) bool { return math.Abs(v) <= maxHeat }

// check says what is wrong with a report, if anything.
func (o Observation) check(needs int) error {
	lo, hi := o.Kind != Below, o.Kind != Above
	switch {
	case o.Need < 0 || o.Need >= needs:
		return fmt.Errorf("need %d is not among the %d priors", o.Need, needs)
	case o.Kind > Below:
		return fmt.Errorf("kind %d is unknown", o.Kind)
	case lo && !isHeat(o.Lo):
		return fmt.Errorf("the heat sum Lo = %g °C·d cannot be", o.Lo)
	case hi && !isHeat(o.Hi):
		return fmt.Errorf("the heat sum Hi = %g °C·d cannot be", o.Hi)
	case o.Kind == Exact && o.Lo != o.Hi:
		return fmt.Errorf("an exact report needs Lo = Hi, not %g and %g", o.Lo, o.Hi)
	case o.Kind == Between && o.Lo > o.Hi:
		return fmt.Errorf("the interval from %g to %g °C·d is empty", o.Lo, o.Hi)
	case !isHeat(o.StartSd) || o.StartSd < 0:
		return fmt.Errorf("the standard deviation StartSd = %g °C·d cannot be", o.StartSd)
	case !math.IsNaN(o.Supply) && !isHeat(o.Supply):
		return fmt.Errorf("the heat sum Supply = %g °C·d cannot be", o.Supply)
	}
	return nil
}

// compare orders a grower's reports; what it finds equal is interchangeable
// in a fit.
func (o Observation) compare(p Observation) int {
	return cmp.Or(
		cmp.Compare(o.Need, p.Need), cmp.Compare(o.Kind, p.Kind),
		cmp.Compare(o.Lo, p.Lo), cmp.Compare(o.Hi, p.Hi),
		cmp.Compare(o.StartSd, p.StartSd), cmp.Compare(o.Supply, p.Supply),
	)
}
