package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/signal"
	"path"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"ripeward/build/preview"
	"ripeward/build/tables"
)

var previewCommand = command{
	name: "preview", summary: "show the site in a browser while you edit",
	details: `Builds the site into a private folder of its own, never into SITE, and prints the
address to open. Only browsers on this machine can reach it. When a file in data
or content changes, the site is built again, and what there is to say is printed;
then reload the page. With an error in a table the last good site stays. Ctrl+C
ends it and removes the folder.
`,
	examples: []string{
		"ripeward preview                        at http://127.0.0.1:8100/",
		"ripeward preview --club DIR --port 0    another club, at any free port",
	},
	flags: func(fs *flagSet, o *options) {
		fs.whole("port", &o.port, "port of the address, `N`; 0 takes a free one; default 8100", 0, 65535)
	},
	run: (*app).preview,
}

// lookEvery is the time from one look at the files to the next.
var lookEvery = time.Second

func (a *app) preview([]string) int {
	ctx := a.ctx
	if !signal.Ignored(syscall.SIGHUP) { // the terminal's window was closed
		var stop func()
		ctx, stop = signal.NotifyContext(ctx, syscall.SIGHUP)
		defer stop()
	}
	dir, err := os.MkdirTemp("", "ripeward-preview-")
	if err != nil {
		return a.failed(err)
	}
	defer os.RemoveAll(dir)
	listener, address, err := preview.Listen(a.port)
	if err != nil {
		return a.failed(err)
	}
	defer listener.Close()
	p := &previewing{app: a, ctx: ctx, site: filepath.Join(dir, "site"), files: a.look()}
	if code := p.build(); code != done {
		if ctx.Err() != nil {
			return done
		}
		return code
	}
	if code := a.tellAddress(address); code != done {
		return code
	}
	a.note("Ctrl+C ends the preview", "")
	serving, end := context.WithCancelCause(ctx)
	go func() { end(preview.Serve(listener, p.site, ctx.Done())) }()
	p.follow(serving)
	if ctx.Err() == nil { // nobody ended it
		return a.failed(context.Cause(serving))
	}
	return done
}

func (a *app) tellAddress(address string) int {
	if a.format == "text" {
		return a.print(address + "\n")
	}
	t := tables.Table{Name: "preview", Columns: []tables.Column{{Name: "address", Type: "string"}}, Rows: [][]string{{address}}}
	if err := a.showTable(t); err != nil {
		return a.failed(err)
	}
	return done
}

// look lists the files that a site is built from.
func (a *app) look() preview.Files { return preview.Look(a.club, "data", "content") }

// previewing is a site that is shown while its files are edited.
type previewing struct {
	*app
	ctx   context.Context
	site  string
	files preview.Files // as they were before the last build
}

// build publishes into the private folder; what it says goes to standard error.
func (p *previewing) build() int {
	var said bytes.Buffer
	b := *p.app
	b.ctx, b.site, b.stdout, b.format, b.closeYear, b.setAside, b.private = p.ctx, p.site, &said, "text", false, false, true
	code := b.publish(nil)
	if code == done && said.Len() > 0 {
		line, _, _ := strings.Cut(said.String(), ": "+path.Join(filepath.ToSlash(p.site), "index.html"))
		p.note(line, "")
	}
	return code
}

// follow builds again whenever a file has changed, until ctx is done.
func (p *previewing) follow(ctx context.Context) {
	tick := time.NewTicker(lookEvery)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		now := p.look()
		changed := now.Changed(p.files)
		if len(changed) == 0 {
			continue
		}
		p.files, p.again = now, true
		p.note("changed: "+few(changed), "")
		switch code := p.build(); {
		case ctx.Err() != nil:
			return
		case code != done:
			p.note("the last good site stays until this is mended", "")
		default:
			p.note("built again: reload the page", "")
		}
	}
}

// few names the first of many.
func few(names []string) string {
	const most = 4
	if len(names) > most {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	return listed(names)
}
