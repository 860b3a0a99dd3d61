package page_test

import (
	"bytes"
	"image"
	"image/png"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"ripeward/build/page"
)

func smallPicture(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 3, 2))); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Pictures and papers stand beside the pages, and texts of both languages
// reach them from where they stand.
func TestFilesAreCopiedAndFound(t *testing.T) {
	b := hard()
	b.Club.Settings.Languages = []string{"en", "fr"}
	shot := smallPicture(t)
	own := fstest.MapFS{
		"home.md":               md("Welcome", "![June](files/garden/june.png)\n"),
		"guides/ours.md":        md("Ours", "![June](../files/garden/june.png), [paper](/files/minutes.pdf), [rows](files/rows.csv).\n"),
		"fr/guides/ours.md":     md("La nôtre", "![Juin](../../files/garden/june.png), [actes](../files/minutes.pdf)\n"),
		"files/garden/june.png": {Data: shot},
		"files/minutes.pdf":     {Data: []byte("%PDF-1.4")},
		"files/rows.csv":        {Data: []byte("a,b\n1,2\n")},
		"files/.hidden":         {Data: []byte("x")},
	}
	files, problems := render(t, b, page.Options{Content: own})
	for _, p := range problems {
		if strings.Contains(p.Place.File, "content") && strings.Contains(p.Message, "nowhere") || p.Severity.String() == "error" {
			t.Errorf("unexpected: %v", p)
		}
	}
	if !bytes.Equal(files["files/garden/june.png"], shot) || string(files["files/rows.csv"]) != "a,b\n1,2\n" || files["files/minutes.pdf"] == nil {
		t.Error("a file is not on the site as it was")
	}
	for path := range files {
		if strings.Contains(path, "hidden") || strings.HasPrefix(path, "fr/files/") {
			t.Errorf("%s is on the site", path)
		}
	}
	for at, wants := range map[string][]string{
		"index.html":                {`src="files/garden/june.png"`},
		"guides/ours/index.html":    {`src="../../files/garden/june.png"`, `href="../../files/minutes.pdf"`, `href="../../files/rows.csv"`},
		"fr/guides/ours/index.html": {`src="../../../files/garden/june.png"`, `href="../../../files/minutes.pdf"`},
	} {
		for _, want := range wants {
			if !strings.Contains(text(t, files, at), want) {
				t.Errorf("%s lacks %s", at, want)
			}
		}
	}
}

func TestFilesThatCannotBePublished(t *testing.T) {
	own := fstest.MapFS{
		"guides/ours.md":       md("Ours", "[gone](../files/gone.pdf), ![said once](../files/film.mp4)\n"),
		"files/logo.svg":       {Data: []byte("<svg/>")},
		"files/été.png":        {Data: smallPicture(t)},
		"files/lies.png":       {Data: []byte("<!doctype html>")},
		"files/film.mp4":       {Data: []byte("film")},
		"files/big.txt":        {Data: make([]byte, 16<<20+1)},
		"files/Twice.txt":      {Data: []byte("a")},
		"files/twice.TXT":      {Data: []byte("a")},
		"files/link.txt":       {Data: []byte("elsewhere"), Mode: fs.ModeSymlink},
		"files/-no/inside.txt": {Data: []byte("a")},
	}
	files, problems := render(t, hard(), page.Options{Content: own})
	for file, want := range map[string]string{
		"guides/ours.md": "leads nowhere", "files/logo.svg": "scripts", "files/été.png": "cannot be an address", "files/lies.png": "a web page",
		"files/film.mp4": "not published", "files/big.txt": "the limit is 16 MB", "files/twice.TXT": "capitals alone", "files/link.txt": "links are not followed", "files/-no": "cannot be an address",
	} {
		found := false
		for _, p := range problems {
			if p.Place.File == "content/"+file {
				found = true
				if !strings.Contains(p.Message, want) || p.Severity.String() != "error" || p.Hint == "" {
					t.Errorf("%s: %v (%s), want %q", file, p, p.Hint, want)
				}
			}
		}
		if !found {
			t.Errorf("%s: nothing is said", file)
		}
	}
	for path := range files {
		if strings.HasPrefix(path, "files/") && path != "files/Twice.txt" {
			t.Errorf("%s is on the site", path)
		}
	}
}
