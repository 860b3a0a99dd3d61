package club

// index finds rows by id.
type index struct {
	towns     map[Text]*Town
	stations  map[Text]*Station
	cultivars map[Text]*Cultivar
	methods   map[Text]*Method
	stores    map[Text]*Store
	trees     map[Text]*Tree
}

// Town returns the town with that id, or nil.
func (c *Club) Town(id Text) *Town {
	if c.index != nil {
		return c.index.towns[id]
	}
	return lookIn(c.Towns, id, func(r *Town) Text { return r.ID })
}

// Station returns the station with that id, or nil.
func (c *Club) Station(id Text) *Station {
	if c.index != nil {
		return c.index.stations[id]
	}
	return lookIn(c.Stations, id, func(r *Station) Text { return r.ID })
}

// Cultivar returns the cultivar with that id, or nil.
func (c *Club) Cultivar(id Text) *Cultivar {
	if c.index != nil {
		return c.index.cultivars[id]
	}
	return lookIn(c.Cultivars, id, func(r *Cultivar) Text { return r.ID })
}

// Method returns the method with that id, or nil.
func (c *Club) Method(id Text) *Method {
	if c.index != nil {
		return c.index.methods[id]
	}
	return lookIn(c.Methods, id, func(r *Method) Text { return r.ID })
}

// Store returns the store with that id, or nil.
func (c *Club) Store(id Text) *Store {
	if c.index != nil {
		return c.index.stores[id]
	}
	return lookIn(c.Stores, id, func(r *Store) Text { return r.ID })
}

// Tree returns the tree with that id, or nil.
func (c *Club) Tree(id Text) *Tree {
	if c.index != nil {
		return c.index.trees[id]
	}
	return lookIn(c.Trees, id, func(r *Tree) Text { return r.ID })
}

// buildIndex must run again after a table has changed.
func (c *Club) buildIndex() {
	c.index = &index{
		towns:     byID(c.Towns, func(r *Town) Text { return r.ID }),
		stations:  byID(c.Stations, func(r *Station) Text { return r.ID }),
		cultivars: byID(c.Cultivars, func(r *Cultivar) Text { return r.ID }),
		methods:   byID(c.Methods, func(r *Method) Text { return r.ID }),
		stores:    byID(c.Stores, func(r *Store) Text { return r.ID }),
		trees:     byID(c.Trees, func(r *Tree) Text { return r.ID }),
	}
}

// byID maps ids to rows; of rows with the same id the first counts.
func byID[T any](rows []T, id func(*T) Text) map[Text]*T {
	m := make(map[Text]*T, len(rows))
	for i := range rows {
		if _, taken := m[id(&rows[i])]; !taken {
			m[id(&rows[i])] = &rows[i]
		}
	}
	return m
}

func lookIn[T any](rows []T, id Text, of func(*T) Text) *T {
	for i := range rows {
		if of(&rows[i]) == id {
			return &rows[i]
		}
	}
	return nil
}
