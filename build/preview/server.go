// Package preview shows a built site to the browsers of this machine alone,
// and tells when a file that it is built from has changed.
package preview

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"net/url"
	"os"
	"path"
	"strconv"
	"strings"
	"syscall"
	"time"

	"ripeward/build/diag"
)

// Listen opens a port of the loopback interface, which no other machine can
// reach; 0 takes a free one. The address for a browser is returned with it.
func Listen(port int) (net.Listener, string, error) {
	l, err := net.Listen("tcp", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
	if errors.Is(err, syscall.EADDRINUSE) {
		return nil, "", diag.Problem{Severity: diag.Error, Message: fmt.Sprintf("port %d is in use", port),
			Hint: "another preview may be running; --port 0 takes a free one"}
	}
	if err != nil {
		return nil, "", diag.Problem{Severity: diag.Error, Message: fmt.Sprintf("port %d cannot be used: %v", port, err), Hint: "--port 0 takes a free one"}
	}
	return l, fmt.Sprintf("http://%s/", l.Addr()), nil
}

// Serve answers requests for the files of folder site on l until stop is
// closed.
func Serve(l net.Listener, site string, stop <-chan struct{}) error {
	_, port, err := net.SplitHostPort(l.Addr().String())
	if err != nil {
		return err
	}
	s := &http.Server{Handler: &handler{site: site, port: port}, ReadHeaderTimeout: 10 * time.Second, IdleTimeout: time.Minute, MaxHeaderBytes: 1 << 16}
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(l) }()
	select {
	case err = <-ended:
	case <-stop:
		_ = s.Close() // what a browser still loads is of no use any more
		err = <-ended
	}
	if errors.Is(err, http.ErrServerClosed) {
		return nil
	}
	return err
}

// headers are those that a host of the site should set. The pages' own
// policies say what they may load; a page of one file has another than the rest.
var headers = map[string]string{
	"Content-Security-Policy":      "frame-ancestors 'none'; object-src 'none'; base-uri 'none'; form-action 'none'",
	"Cross-Origin-Opener-Policy":   "same-origin",
	"Cross-Origin-Resource-Policy": "same-origin",
	"Permissions-Policy":           "geolocation=(self), camera=(), microphone=(), payment=(), usb=()",
	"Referrer-Policy":              "same-origin",
	"X-Content-Type-Options":       "nosniff",
	"Cache-Control":                "no-store", // of a preview alone
}

// types are the media types of the files that a site has.
var types = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".json": "application/json", ".webmanifest": "application/manifest+json", ".csv": "text/csv; charset=utf-8",
	".ics": "text/calendar; charset=utf-8", ".xml": "application/xml; charset=utf-8", ".txt": "text/plain; charset=utf-8",
	".svg": "image/svg+xml", ".png": "image/png", ".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".webp": "image/webp",
	".avif": "image/avif", ".ico": "image/x-icon", ".pdf": "application/pdf",
}

func typeOf(name string) string {
	if path.Base(name) == "feed.xml" {
		return "application/atom+xml; charset=utf-8"
	}
	if t, ok := types[strings.ToLower(path.Ext(name))]; ok {
		return t
	}
	return "application/octet-stream"
}

// handler serves the files of a folder. The folder may be exchanged for
// another at any time.
type handler struct{ site, port string }

func (h *handler) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	for name, value := range headers {
		w.Header().Set(name, value)
	}
	if !h.known(r.Host) {
		http.Error(w, "This preview is for the browsers of its own machine.", http.StatusMisdirectedRequest)
		return
	}
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Allow", "GET, HEAD")
		http.Error(w, "A preview can only be read.", http.StatusMethodNotAllowed)
		return
	}
	name := path.Clean("/" + r.URL.Path)[1:]
	data, folder, err := h.read(name)
	switch {
	case folder && !strings.HasSuffix(r.URL.Path, "/"):
		w.Header().Set("Location", (&url.URL{Path: "/" + name + "/"}).String())
		w.WriteHeader(http.StatusMovedPermanently)
	case folder || name == "" || strings.HasSuffix(r.URL.Path, "/"):
		if data, _, err = h.read(path.Join(name, "index.html")); err == nil {
			h.send(w, r, "index.html", data)
			return
		}
		h.lost(w, r)
	case err != nil:
		h.lost(w, r)
	default:
		h.send(w, r, name, data)
	}
}

// known tells whether a request was meant for this machine. A page of a
// stranger whose name was made to lead here has another host.
func (h *handler) known(host string) bool {
	name, port, err := net.SplitHostPort(host)
	if err != nil { // without a port: the one that a browser leaves out
		name, port = strings.Trim(host, "[]"), "80"
	}
	return port == h.port && (strings.EqualFold(name, "localhost") || name == "127.0.0.1" || name == "::1")
}

// read returns a file of the site. A link that leads out of it is not followed.
func (h *handler) read(name string) (data []byte, folder bool, err error) {
	if name == "" {
		return nil, true, nil
	}
	root, err := os.OpenRoot(h.site)
	if err != nil {
		return nil, false, err
	}
	defer root.Close()
	info, err := root.Stat(name)
	if err != nil || info.IsDir() {
		return nil, err == nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, false, fs.ErrNotExist
	}
	f, err := root.Open(name)
	if err != nil {
		return nil, false, err
	}
	defer f.Close()
	data, err = io.ReadAll(f)
	return data, false, err
}

func (h *handler) send(w http.ResponseWriter, r *http.Request, name string, data []byte) {
	w.Header().Set("Content-Type", typeOf(name))
	http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(data))
}

// lost answers as a host does that knows the site's page for it.
func (h *handler) lost(w http.ResponseWriter, r *http.Request) {
	data, _, err := h.read("404.html")
	if err != nil {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", typeOf("404.html"))
	w.Header().Set("Content-Length", strconv.Itoa(len(data)))
	w.WriteHeader(http.StatusNotFound)
	if r.Method == http.MethodGet {
		_, _ = w.Write(data)
	}
}
