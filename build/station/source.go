package station

import (
	"bufio"
	"bytes"
	"compress/flate"
	"compress/gzip"
	"errors"
	"fmt"
	"io"

	"ripeward/build/diag"
)

// Limits of a station file (TABLES.md of the contract); the unpacked size is a
// variable so that a test can reach it.
const maxLine = 64 << 10

var maxUnpacked int64 = 8 << 30

// bufferSize is also how much of a file is looked at to tell its dialect: some
// five years of GHCN rows or more.
const bufferSize = 256 << 10

// source hands out the lines of a file, unpacked, without line ends.
type source struct {
	name       string
	in         io.Reader
	packed     bool
	buf        []byte
	start, end int
	last       int // where the line last handed out begins, unless it is longer than maxLine
	eof        bool
	eol        byte
	line       int   // number of the line last handed out
	tooLong    bool  // the line last handed out is cut at maxLine
	unpacked   int64 // bytes read so far
	damage     *diag.Problem
	err        error // I/O
}

// open looks at the first bytes of r: gzip is unpacked, a byte order mark
// dropped. The buffer is filled for a first look.
func open(name string, r io.Reader) *source {
	s := &source{name: name, buf: bufferPool.Get().(*[bufferSize]byte)[:], eol: '\n'}
	s.in = r
	s.fill()
	switch first := s.buf[:s.end]; {
	case bytes.HasPrefix(first, []byte{0x1f, 0x8b}):
		s.unpack(r)
	case bytes.HasPrefix(first, []byte("PK\x03\x04")):
		s.fail("a zip archive, not a table", "unpack it and give the file inside; of a workbook save the table as CSV in UTF-8")
		s.end = 0
	}
	text := s.buf[:s.end]
	switch {
	case bytes.HasPrefix(text, []byte("\xef\xbb\xbf")):
		s.start = 3
	case bytes.HasPrefix(text, []byte("\xff\xfe")), bytes.HasPrefix(text, []byte("\xfe\xff")):
		s.fail("UTF-16, not UTF-8: the first bad byte is the first of the file", "save the file as UTF-8")
		s.end = s.start
		return s
	}
	if bytes.IndexByte(text, '\n') < 0 && bytes.IndexByte(text, '\r') >= 0 {
		s.eol = '\r'
	}
	return s
}

// unpack starts again behind gzip, with what was read of the packed file and the
// rest of it.
func (s *source) unpack(r io.Reader) {
	packed := bytes.NewReader(bytes.Clone(s.buf[:s.end]))
	if s.end, s.unpacked, s.packed = 0, 0, true; s.err != nil {
		return
	}
	s.eof, s.damage = false, nil
	z, err := gzip.NewReader(bufio.NewReaderSize(io.MultiReader(packed, r), 64<<10))
	if err == io.EOF {
		err = io.ErrUnexpectedEOF // two bytes of a header are not an empty file
	}
	if err != nil {
		s.stop(err)
		return
	}
	s.in = z
	s.fill()
}

// fail notes damage that ends the reading.
func (s *source) fail(message, hint string) {
	s.eof = true
	if s.damage == nil {
		s.damage = &diag.Problem{
			Place: diag.Place{File: s.name, Line: s.line + 1}, Severity: diag.Error, Message: message, Hint: hint,
		}
	}
}

// stop sorts the end of input, damage in the packing and I/O failure apart.
func (s *source) stop(err error) {
	s.eof = true
	var corrupt flate.CorruptInputError
	switch {
	case err == io.EOF:
	case s.packed && errors.Is(err, io.ErrUnexpectedEOF):
		s.fail("the gzip file ends early", "the download was cut off: fetch it again")
	case errors.Is(err, gzip.ErrChecksum), errors.Is(err, gzip.ErrHeader), errors.As(err, &corrupt):
		s.fail("the gzip file is damaged: "+err.Error(), "fetch it again")
	default:
		s.err = err
	}
}

// fill moves what is left to the front and reads until the buffer is full or
// the input ends.
func (s *source) fill() {
	s.end = copy(s.buf, s.buf[s.start:s.end])
	s.start = 0
	for idle := 0; s.end < len(s.buf) && !s.eof; {
		n, err := s.in.Read(s.buf[s.end:])
		s.end += n
		if s.unpacked += int64(n); s.unpacked > maxUnpacked {
			s.end -= int(min(s.unpacked-maxUnpacked, int64(s.end)))
			s.fail(fmt.Sprintf("more than %d bytes unpacked", maxUnpacked), "split the file by station or by year")
			return
		}
		if err != nil {
			s.stop(err)
			return
		}
		if idle++; n > 0 {
			idle = 0
		} else if idle > 100 {
			s.err, s.eof = io.ErrNoProgress, true
		}
	}
}

// next returns the next line, which stays valid until the following call.
func (s *source) next() ([]byte, bool) {
	s.tooLong = false
	for {
		if i := bytes.IndexByte(s.buf[s.start:s.end], s.eol); i >= 0 {
			line := s.buf[s.start : s.start+i]
			s.last, s.start = s.start, s.start+i+1
			s.line++
			if i > maxLine {
				s.tooLong = true
				line = line[:maxLine]
			}
			return s.bare(line), true
		}
		if s.eof {
			if s.start == s.end {
				return nil, false
			}
			line := s.buf[s.start:s.end]
			s.last, s.start = s.start, s.end
			s.line++
			if s.damage != nil && s.err == nil {
				// Half a line before the damage is not a row.
				return nil, false
			}
			if len(line) > maxLine {
				s.tooLong = true
				line = line[:maxLine]
			}
			return s.bare(line), true
		}
		if s.end-s.start > maxLine {
			return s.skipLong(), true
		}
		s.fill()
	}
}

func (s *source) bare(line []byte) []byte {
	if s.eol == '\n' && len(line) > 0 && line[len(line)-1] == '\r' {
		line = line[:len(line)-1]
	}
	return line
}

// skipLong reads past the end of a line that is longer than maxLine.
func (s *source) skipLong() []byte {
	kept := bytes.Clone(s.buf[s.start : s.start+64])
	s.tooLong = true
	s.line++
	for {
		if i := bytes.IndexByte(s.buf[s.start:s.end], s.eol); i >= 0 {
			s.start += i + 1
			return kept
		}
		s.start = s.end
		if s.eof {
			return kept
		}
		s.fill()
	}
}
