// Package scrub makes files that people hand in fit to be published: it checks
// that a file is what its name says, and takes out of pictures what they tell
// beside the picture: place, time, camera, names, thumbnails, comments. The
// picture's own bytes stay as they are; nothing is encoded again.
package scrub

import (
	"bytes"
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"
	"unicode/utf8"
)

// Kinds are the endings of files that can be published.
var Kinds = []string{".png", ".jpg", ".jpeg", ".webp", ".avif", ".pdf", ".csv", ".txt"}

// Refused is why a file cannot be published, and what to try.
type Refused struct{ Message, Hint string }

func (r *Refused) Error() string { return r.Message }

func refuse(hint, message string, values ...any) error {
	return &Refused{fmt.Sprintf(message, values...), hint}
}

var (
	errShort = errors.New("the file ends too early")
	errForm  = errors.New("its parts do not fit together")
)

// Clean returns what may be published of the file name with content data. The
// result may share data's memory. An error is a *Refused.
func Clean(name string, data []byte) ([]byte, error) {
	kind := strings.ToLower(path.Ext(name))
	switch {
	case kind == ".svg" || kind == ".svgz":
		return nil, refuse("save the drawing as PNG", "SVG is not published: it can carry scripts")
	case kind == ".heic" || kind == ".heif":
		return nil, refuse("save the picture as JPEG", "browsers do not show HEIC pictures")
	case !slices.Contains(Kinds, kind):
		return nil, refuse("files are "+strings.ReplaceAll(strings.Join(Kinds, ", "), ".", ""), "files of this kind are not published")
	}
	if is := sniff(data); is != "" && is != kind && !(is == ".jpg" && kind == ".jpeg") {
		return nil, refuse("end its name with "+is+", or save it anew", "what is in the file is not what its name says: it is %s", inWords[is])
	} else if is == "" && kind != ".csv" && kind != ".txt" {
		return nil, refuse("save it anew", "the file does not begin as %s does", inWords[strings.Replace(kind, "jpeg", "jpg", 1)])
	}
	var out []byte
	var err error
	switch kind {
	case ".jpg", ".jpeg":
		out, err = jpeg(data)
	case ".png":
		out, err = png(data)
	case ".webp":
		out, err = webp(data)
	case ".avif":
		out, err = data, avif(data)
	case ".csv", ".txt":
		out, err = data, text(data)
	default:
		out = data
	}
	var r *Refused
	if err != nil && !errors.As(err, &r) {
		err = refuse("open it in a picture program and save it anew", "the picture is broken: %v", err)
	}
	if err != nil {
		return nil, err
	}
	return out, nil
}

var inWords = map[string]string{".png": "a PNG picture", ".jpg": "a JPEG picture", ".webp": "a WebP picture", ".avif": "an AVIF picture",
	".pdf": "a PDF paper", ".svg": "an SVG drawing", ".html": "a web page", ".gif": "a GIF picture", ".zip": "a packed file", ".heic": "a HEIC picture"}

// sniff tells the kind of a file from its first bytes, "" where they say
// nothing.
func sniff(data []byte) string {
	for _, m := range []struct{ kind, head string }{
		{".png", "\x89PNG\r\n\x1a\n"}, {".jpg", "\xff\xd8\xff"}, {".pdf", "%PDF-"}, {".gif", "GIF8"}, {".zip", "PK\x03\x04"}, {".zip", "\x1f\x8b"},
	} {
		if bytes.HasPrefix(data, []byte(m.head)) {
			return m.kind
		}
	}
	if len(data) >= 12 && string(data[:4]) == "RIFF" && string(data[8:12]) == "WEBP" {
		return ".webp"
	}
	if len(data) >= 12 && string(data[4:8]) == "ftyp" {
		if b := string(data[8:12]); b == "avif" || b == "avis" {
			return ".avif"
		}
		return ".heic"
	}
	head := strings.ToLower(string(bytes.TrimLeft(bytes.TrimPrefix(data[:min(len(data), 1024)], []byte("\uFEFF")), " \t\r\n")))
	switch {
	case strings.HasPrefix(head, "<svg") || strings.HasPrefix(head, "<?xml") && strings.Contains(head, "<svg"):
		return ".svg"
	case strings.HasPrefix(head, "<!doctype html") || strings.HasPrefix(head, "<html") || strings.HasPrefix(head, "<script"):
		return ".html"
	}
	return ""
}

// text checks that a file is text that every browser shows.
func text(data []byte) error {
	if i := bytes.IndexByte(data, 0); i >= 0 {
		return refuse("save it as UTF-8 text", "byte %d is NUL, which no text has", i+1)
	}
	if !utf8.Valid(data) {
		return refuse("save it as UTF-8", "the text is not UTF-8")
	}
	return nil
}
