package station

import (
	"ripeward/build/diag"
)

// Options says what a file does not say itself.
type Options struct {
	// Name is the file's name, used in messages and, without .csv, .txt and
	// .gz, as the station id of the plain form.
	Name string
	// StationID, if set, is the id of a file whose rows do not carry one.
	StationID string
	// Settings is what a NAME.toml beside the file says; nil: ReadFile looks
	// for one.
	Settings *Settings
	// Each, if set, is called whenever ReadAll is done with a file, also from
	// several goroutines at once.
	Each func()
	// Memory, if set, spares ReadAll files that have not changed.
	Memory Memory
	// Unchecked leaves out our own quality control.
	Unchecked bool
	// Units ("metric" or "us") settles an NCEI order of which the rows do not
	// tell; empty: decide by content.
	Units string
}

// ReadFile reads one daily station file, plain or packed with gzip. The
// dialect, the packing and the separator are told by content. A file may hold
// several stations; records come ordered by station id. What is wrong with the
// content is in the problems; the error is kept for I/O.
func ReadFile(path string) ([]Record, diag.Problems, error) {
	return ReadFileWith(path, Options{})
}

// ReadFileWith is ReadFile for a file of which more is known than it says; the
// name in o is not used. Settings in o stand in place of a NAME.toml.
func ReadFileWith(path string, o Options) ([]Record, diag.Problems, error) {
	f, err := scanPath(path, o)
	if err != nil {
		return nil, nil, err
	}
	defer f.release()
	recs := f.finish()
	return recs, f.settle(recs), nil
}

// settle closes the records of the file and returns all that is to be said.
func (s *scanner) settle(recs []Record) diag.Problems {
	ps := s.problems
	for i := range recs {
		ps = append(ps, recs[i].settle()...)
	}
	return ps.Sort()
}
