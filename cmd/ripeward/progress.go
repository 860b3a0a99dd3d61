package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
	"time"

	"ripeward/build/diag"
)

// progress tells on a terminal how far the work has come, on one line that the
// next one replaces; end wipes it. say is nil where there is no terminal, or
// where nothing but results is wanted. It may be called from several goroutines.
func (a *app) progress() (say func(diag.Step), end func()) {
	f, ok := a.stderr.(*os.File)
	if !ok || a.quiet {
		return nil, func() {}
	}
	if fi, err := f.Stat(); err != nil || fi.Mode()&os.ModeCharDevice == 0 {
		return nil, func() {}
	}
	l := &progressLine{to: f, now: time.Now}
	return l.say, l.end
}

// often is how often the line is drawn anew at most.
const often = 100 * time.Millisecond

// progressLine draws one line of progress.
type progressLine struct {
	to  io.Writer
	now func() time.Time

	mu    sync.Mutex
	step  diag.Step
	began time.Time // this piece of work
	drawn time.Time
}

func (l *progressLine) say(s diag.Step) {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := l.now()
	other := s.What != l.step.What
	if other {
		l.began = now
	} else if s.Done < l.step.Done {
		return // of two goroutines the slower one
	}
	l.step = s
	if !other && s.Done < s.Of && now.Sub(l.drawn) < often {
		return
	}
	l.drawn = now
	fmt.Fprintf(l.to, "\r\x1b[K%s", progressText(s, now.Sub(l.began))) // one write: lines do not mix
}

func (l *progressLine) end() {
	l.mu.Lock()
	defer l.mu.Unlock()
	fmt.Fprint(l.to, "\r\x1b[K")
}

// barWidth is the number of cells of the bar.
const barWidth = 24

// enough is the time after which what is left can be told from what is done.
const enough = 2 * time.Second

// progressText is the line: what is being done, a bar, the count, and the time
// left at the pace so far.
func progressText(s diag.Step, spent time.Duration) string {
	if s.Of == 0 {
		return s.What + " …"
	}
	full := barWidth * s.Done / s.Of
	text := fmt.Sprintf("%-14s %s%s %d of %d", s.What, strings.Repeat("█", full), strings.Repeat("░", barWidth-full), s.Done, s.Of)
	if s.Done > 0 && s.Done < s.Of && spent >= enough {
		left := time.Duration(float64(spent) / float64(s.Done) * float64(s.Of-s.Done))
		text += ", about " + timeWords(left) + " left"
	}
	return text
}

// timeWords rounds a time as a person would say it.
func timeWords(d time.Duration) string {
	switch {
	case d < 10*time.Second:
		return fmt.Sprintf("%.1f s", d.Seconds())
	case d < 100*time.Second:
		return fmt.Sprintf("%.0f s", d.Seconds())
	}
	return fmt.Sprintf("%.0f min", d.Minutes())
}
