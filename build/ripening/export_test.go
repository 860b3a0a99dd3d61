package ripening

import "ripeward/build/day"

// What the tests outside look into.

// Yield is what Supply says of a season, without its days.
func (s *Season) Yield(out day.Rank, weeks int) Yield {
	c := s.follow(out, weeks, NoDates, nil)
	return s.yield(&c)
}
