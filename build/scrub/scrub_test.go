package scrub_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	stdjpeg "image/jpeg"
	stdpng "image/png"
	"strings"
	"testing"

	"ripeward/build/scrub"
)

const secret = "GPS-SECRET-45.42N"

func picture() image.Image {
	m := image.NewRGBA(image.Rect(0, 0, 40, 24))
	for i := range m.Pix {
		m.Pix[i] = byte(i * i >> 3)
	}
	m.Set(0, 0, color.RGBA{255, 0, 0, 255})
	return m
}

func jpegBytes(t testing.TB) []byte {
	var b bytes.Buffer
	if err := stdjpeg.Encode(&b, picture(), nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func pngBytes(t testing.TB) []byte {
	var b bytes.Buffer
	if err := stdpng.Encode(&b, picture()); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// tiff is an Exif block with a way up and a place, in the byte order given.
func tiff(order binary.AppendByteOrder, turn uint16) []byte {
	b := []byte("II")
	if order.String() == "BigEndian" {
		b = []byte("MM")
	}
	b = order.AppendUint32(order.AppendUint16(b, 42), 8)
	b = order.AppendUint16(b, 2)
	b = order.AppendUint16(order.AppendUint16(b, 274), 3)
	b = order.AppendUint16(order.AppendUint16(order.AppendUint32(b, 1), turn), 0)
	b = order.AppendUint16(order.AppendUint16(b, 0x8825), 4) // GPS directory
	b = order.AppendUint32(order.AppendUint32(b, 1), 38)
	b = order.AppendUint32(b, 0)
	return append(b, secret...)
}

func segment(mark byte, body []byte) []byte {
	return append(binary.BigEndian.AppendUint16([]byte{0xFF, mark}, uint16(len(body)+2)), body...)
}

func join(parts ...[]byte) []byte { return bytes.Join(parts, nil) }

func TestJPEGKeepsThePictureAndNothingElse(t *testing.T) {
	plain := jpegBytes(t)
	jfif := segment(0xE0, []byte("JFIF\x00\x01\x02\x00\x00\x01\x00\x01\x00\x00"))
	icc := segment(0xE2, []byte("ICC_PROFILE\x00\x01\x01profile"))
	adobe := segment(0xEE, []byte("Adobe\x00\x64\x00\x00\x00\x00\x01"))
	dirty := join(plain[:2], jfif,
		segment(0xE1, append([]byte("Exif\x00\x00"), tiff(binary.BigEndian, 1)...)),
		segment(0xE1, []byte("http://ns.adobe.com/xap/1.0/\x00"+secret)),
		segment(0xE2, []byte("MPF\x00"+secret)), icc,
		segment(0xED, []byte("Photoshop 3.0\x00"+secret)), adobe, segment(0xFE, []byte(secret)),
		plain[2:], []byte("\xff\xd8 a film "+secret))
	got, err := scrub.Clean("a.JPG", dirty)
	if err != nil {
		t.Fatal(err)
	}
	if want := join(plain[:2], jfif, icc, adobe, plain[2:]); !bytes.Equal(got, want) {
		t.Errorf("%d bytes, want the picture's own %d", len(got), len(want))
	}
	if again, err := scrub.Clean("a.jpg", got); err != nil || !bytes.Equal(again, got) {
		t.Error("a clean picture is changed")
	}
}

// Without its way up a phone's picture would lie on its side.
func TestTheWayUpStays(t *testing.T) {
	plain := jpegBytes(t)
	for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
		exif := append([]byte("Exif\x00\x00"), tiff(order, 6)...)
		got, err := scrub.Clean("a.jpg", join(plain[:2], segment(0xE1, exif), plain[2:]))
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Contains(got, []byte(secret)) || !bytes.Contains(got, []byte("\x01\x12\x00\x03\x00\x00\x00\x01\x00\x06")) {
			t.Errorf("%v: the place stays, or the way up is lost", order)
		}
		if _, err := stdjpeg.Decode(bytes.NewReader(got)); err != nil {
			t.Error(err)
		}
		if again, err := scrub.Clean("a.jpg", got); err != nil || !bytes.Equal(again, got) {
			t.Errorf("%v: a clean picture is changed: %v", order, err)
		}
	}
}

func pngChunk(kind, body string) []byte {
	b := append(binary.BigEndian.AppendUint32(nil, uint32(len(body))), kind+body...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

func TestPNGKeepsThePictureAndNothingElse(t *testing.T) {
	plain := pngBytes(t)
	const afterHead = 8 + 25
	dirty := join(plain[:afterHead], pngChunk("gAMA", "\x00\x00\xb1\x8f"), pngChunk("tEXt", "Author\x00"+secret), pngChunk("zTXt", "a\x00\x00"+secret), pngChunk("iTXt", secret),
		pngChunk("tIME", "1234567"), pngChunk("eXIf", string(tiff(binary.LittleEndian, 1))), pngChunk("prVt", secret), plain[afterHead:], []byte(secret))
	got, err := scrub.Clean("a.png", dirty)
	if err != nil {
		t.Fatal(err)
	}
	if want := join(plain[:afterHead], pngChunk("gAMA", "\x00\x00\xb1\x8f"), plain[afterHead:]); !bytes.Equal(got, want) {
		t.Errorf("%d bytes, want the picture's own %d", len(got), len(want))
	}
	if _, err := stdpng.Decode(bytes.NewReader(got)); err != nil {
		t.Error(err)
	}
}

func webpChunk(kind, body string) []byte {
	b := append(binary.LittleEndian.AppendUint32([]byte(kind), uint32(len(body))), body...)
	if len(body)%2 == 1 {
		b = append(b, 0)
	}
	return b
}

func riff(chunks ...[]byte) []byte {
	body := append([]byte("WEBP"), join(chunks...)...)
	return append(binary.LittleEndian.AppendUint32([]byte("RIFF"), uint32(len(body))), body...)
}

func TestWebPKeepsThePictureAndNothingElse(t *testing.T) {
	pix := webpChunk("VP8L", "\x2fpicture bytes!!")
	got, err := scrub.Clean("a.webp", append(riff(webpChunk("VP8X", "\x2c\x00\x00\x00\x09\x00\x00\x09\x00\x00"), webpChunk("ICCP", "odd"), pix,
		webpChunk("EXIF", string(tiff(binary.LittleEndian, 1))), webpChunk("XMP ", secret), webpChunk("none", secret)), secret...))
	if err != nil {
		t.Fatal(err)
	}
	if want := riff(webpChunk("VP8X", "\x20\x00\x00\x00\x09\x00\x00\x09\x00\x00"), webpChunk("ICCP", "odd"), pix); !bytes.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	got, err = scrub.Clean("a.webp", riff(webpChunk("VP8X", "\x08\x00\x00\x00\x09\x00\x00\x09\x00\x00"), pix, webpChunk("EXIF", string(tiff(binary.BigEndian, 8)))))
	if err != nil || bytes.Contains(got, []byte(secret)) || !bytes.Contains(got, []byte("EXIF")) || got[20] != 8 {
		t.Errorf("the way up is lost, or the place is not: %q, %v", got, err)
	}
}

func box(kind, body string) []byte {
	return append(binary.BigEndian.AppendUint32(nil, uint32(len(body)+8)), kind+body...)
}

func TestRefused(t *testing.T) {
	ftyp := box("ftyp", "avif\x00\x00\x00\x00avif")
	bare := join(ftyp, box("meta", "\x00\x00\x00\x00 infe av01"), box("mdat", "pixels"))
	if got, err := scrub.Clean("a.avif", bare); err != nil || !bytes.Equal(got, bare) {
		t.Errorf("a bare AVIF picture: %v", err)
	}
	jpg, png := jpegBytes(t), pngBytes(t)
	for _, c := range []struct {
		name, file string
		data       []byte
		want       string
	}{
		{"AVIF with Exif", "a.avif", join(ftyp, box("meta", "\x00\x00\x00\x00 infe Exif"), box("mdat", secret)), "tells more than it shows"},
		{"AVIF with XMP", "a.avif", join(ftyp, box("meta", "\x00\x00\x00\x00 infe mime"), box("mdat", secret)), "tells more than it shows"},
		{"AVIF with a film", "a.avif", join(ftyp, box("moov", secret)), `"moov"`},
		{"AVIF padding", "a.avif", join(ftyp, box("free", secret)), "padding"},
		{"AVIF too long a box", "a.avif", join(ftyp, []byte{0, 0, 1, 0, 'm', 'd', 'a', 't'}), "too early"},
		{"AVIF a huge box", "a.avif", join(ftyp, []byte("\x00\x00\x00\x01mdat\xff\xff\xff\xff\xff\xff\xff\xff")), "too early"},
		{"SVG", "a.svg", []byte("<svg/>"), "scripts"},
		{"HTML", "a.html", []byte("<p>"), "not published"},
		{"no ending", "notes", []byte("x"), "not published"},
		{"SVG in PNG's clothes", "a.png", []byte("<svg onload=x>"), "an SVG drawing"},
		{"page in a text's clothes", "a.txt", []byte("\uFEFF\n<!DOCTYPE HTML><script>"), "a web page"},
		{"JPEG called PNG", "a.png", jpg, "a JPEG picture"},
		{"nothing called PDF", "a.pdf", []byte("hello"), "does not begin as a PDF paper"},
		{"empty picture", "a.jpeg", nil, "does not begin as a JPEG picture"},
		{"half a JPEG", "a.jpg", jpg[:len(jpg)/2], "too early"},
		{"half a PNG", "a.png", png[:len(png)/2], "too early"},
		{"JPEG out of step", "a.jpg", join(jpg[:2], []byte("\xff\xe1\x00\x01xx"), jpg[2:]), "do not fit"},
		{"WebP without a picture", "a.webp", riff(), "do not fit"},
		{"workbook", "a.csv", []byte("PK\x03\x04"), "a packed file"},
		{"UTF-16", "a.csv", []byte("a\x00b\x00"), "NUL"},
		{"Latin-1", "a.txt", []byte("caf\xe9"), "not UTF-8"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := scrub.Clean(c.file, c.data)
			var no *scrub.Refused
			if !errors.As(err, &no) || !strings.Contains(no.Message, c.want) || no.Hint == "" {
				t.Errorf("got %v, want %q and a hint", err, c.want)
			}
		})
	}
	for name, data := range map[string]string{"a.txt": "fine", "a.CSV": "a,b\n", "b.pdf": "%PDF-1.7"} {
		if got, err := scrub.Clean(name, []byte(data)); err != nil || string(got) != data {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// What is cleaned is clean: cleaning it again changes nothing, and no mark of
// metadata is left where a reader would find it.
func FuzzClean(f *testing.F) {
	jpg, png := jpegBytes(f), pngBytes(f)
	exif := append([]byte("Exif\x00\x00"), tiff(binary.LittleEndian, 3)...)
	f.Add(byte(1), join(jpg[:2], segment(0xE1, exif), jpg[2:]))
	f.Add(byte(1), jpg)
	f.Add(byte(0), join(png[:33], pngChunk("eXIf", string(tiff(binary.BigEndian, 5))), png[33:]))
	f.Add(byte(3), riff(webpChunk("VP8X", "\x08\x00\x00\x00\x09\x00\x00\x09\x00\x00"), webpChunk("VP8 ", "odd"), webpChunk("EXIF", string(tiff(binary.BigEndian, 8)))))
	f.Add(byte(4), join(box("ftyp", "avif"), box("meta", "x"), box("mdat", "y")))
	f.Fuzz(func(t *testing.T, kind byte, data []byte) {
		name := "a" + scrub.Kinds[int(kind)%len(scrub.Kinds)]
		before := bytes.Clone(data)
		once, err := scrub.Clean(name, data)
		if !bytes.Equal(before, data) {
			t.Fatal("the file that was handed in is changed")
		}
		if err != nil {
			var no *scrub.Refused
			if !errors.As(err, &no) || no.Message == "" || no.Hint == "" {
				t.Fatalf("refused without a word: %v", err)
			}
			return
		}
		twice, err := scrub.Clean(name, once)
		if err != nil || !bytes.Equal(once, twice) {
			t.Fatalf("cleaned once it is not clean: %v", err)
		}
	})
}
