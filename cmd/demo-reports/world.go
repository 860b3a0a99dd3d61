package main

import (
	"context"
	"fmt"

	"ripeward/build/almanac"
	"ripeward/build/club"
	"ripeward/build/ripening"
)

// A world is the club's tables and weather, and the truth that the almanac
// does not see.
type world struct {
	club      *club.Club
	grow      *almanac.Grow
	truth     *truth
	cultivars map[string]*club.Cultivar
	crops     map[string]*club.Crop
	classes   map[string]*club.Class
	methods   map[string]*club.Method
	seasons   map[seasonKey]*ripening.Season
}

type seasonKey struct {
	town, crop, method string
	year               int
}

// newWorld reads the demonstration club. Its trees and reports are what this
// command writes: problems in them do not stop it, and it does not use them.
func newWorld(dir string) (*world, error) {
	c, problems, err := club.Load(dir, club.Options{})
	if err != nil {
		return nil, err
	}
	if len(c.Cultivars) == 0 || len(c.StationFiles) == 0 {
		return nil, fmt.Errorf("%s: not the demonstration club: %d cultivars, %d station files, %d problems: name its folder with -club",
			dir, len(c.Cultivars), len(c.StationFiles), len(problems))
	}
	w := &world{club: c, truth: drawTruth(c), cultivars: map[string]*club.Cultivar{}, crops: map[string]*club.Crop{},
		classes: map[string]*club.Class{}, methods: map[string]*club.Method{}, seasons: map[seasonKey]*ripening.Season{}}
	for i := range c.Cultivars {
		w.cultivars[string(c.Cultivars[i].ID)] = &c.Cultivars[i]
	}
	for i := range c.Crops {
		w.crops[string(c.Crops[i].ID)] = &c.Crops[i]
	}
	for i := range c.Classes {
		w.classes[string(c.Classes[i].ID)] = &c.Classes[i]
	}
	for i := range c.Methods {
		w.methods[string(c.Methods[i].ID)] = &c.Methods[i]
	}
	for _, t := range trees {
		if w.cultivars[t.Cultivar] == nil || w.methods[t.Method] == nil {
			return nil, fmt.Errorf("tree %s: cultivar %q or method %q is not in the club's tables", t.ID, t.Cultivar, t.Method)
		}
	}
	w.grow, err = almanac.NewGrow(context.Background(), c, almanac.Options{})
	return w, err
}

// season returns a town's season under a method; nil where it has no weather.
func (w *world) season(k seasonKey) *ripening.Season {
	s, met := w.seasons[k]
	if !met {
		s, _ = w.grow.Season(k.town, k.crop, k.method, k.year)
		w.seasons[k] = s
	}
	return s
}
