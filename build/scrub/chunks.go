package scrub

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"slices"
)

// pngKeeps are the chunks that make the picture (W3C PNG, third edition,
// table 7), animation included; all others go, known or not.
var pngKeeps = []string{"IHDR", "PLTE", "IDAT", "IEND", "tRNS", "cHRM", "gAMA", "iCCP", "sBIT", "sRGB", "cICP", "mDCV", "cLLI", "bKGD", "pHYs", "acTL", "fcTL", "fdAT"}

const pngHead = 8

// png drops texts, Exif, times and what follows the end. Which way up stays.
func png(data []byte) ([]byte, error) {
	out := append(make([]byte, 0, len(data)), data[:pngHead]...)
	for i := pngHead; ; {
		if i+12 > len(data) {
			return nil, errShort
		}
		n := uint64(binary.BigEndian.Uint32(data[i:]))
		if uint64(i)+12+n > uint64(len(data)) {
			return nil, errShort
		}
		end := i + 12 + int(n)
		kind, body := string(data[i+4:i+8]), data[i+8:end-4]
		if i == pngHead && kind != "IHDR" {
			return nil, errForm
		}
		switch {
		case kind == "IEND" && n > 0:
			return nil, errForm
		case slices.Contains(pngKeeps, kind):
			out = append(out, data[i:end]...)
		case kind == "eXIf":
			if turn := orientation(body); turn != 1 {
				out = append(out, pngChunk("eXIf", turned(turn))...)
			}
		}
		if kind == "IEND" {
			return out, nil
		}
		i = end
	}
}

func pngChunk(kind string, body []byte) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	b = append(append(b, kind...), body...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

// Chunks of a WebP picture that stay (RFC 9649, 2.7), and flags of VP8X.
var webpKeeps = []string{"VP8 ", "VP8L", "VP8X", "ICCP", "ANIM", "ANMF", "ALPH"}

const (
	webpHead    = 12
	webpHasExif = 0x08
	webpHasXMP  = 0x04
)

// webp drops Exif, XMP and unknown chunks. Which way up stays.
func webp(data []byte) ([]byte, error) {
	size := uint64(binary.LittleEndian.Uint32(data[4:])) + 8
	if size > uint64(len(data)) {
		return nil, errShort
	}
	data = data[:size] // what follows is not the picture's
	out := append(make([]byte, 0, len(data)), data[:webpHead]...)
	extended, turn := -1, 1
	for i := webpHead; i < len(data); {
		if i+8 > len(data) {
			return nil, errShort
		}
		n := uint64(binary.LittleEndian.Uint32(data[i+4:]))
		if uint64(i)+8+n > uint64(len(data)) {
			return nil, errShort
		}
		end := i + 8 + int(n)
		kind, body := string(data[i:i+4]), data[i+8:end]
		switch {
		case kind == "VP8X":
			if extended >= 0 || n != 10 {
				return nil, errForm
			}
			extended = len(out) + 8
			out = append(out, data[i:end]...)
			out[extended] &^= webpHasExif | webpHasXMP
		case kind == "EXIF":
			turn = orientation(bytes.TrimPrefix(body, exifHead))
		case slices.Contains(webpKeeps, kind):
			out = append(out, data[i:end]...)
		}
		if len(out)&1 == 1 {
			out = append(out, 0)
		}
		i = end + int(n&1)
	}
	if len(out) == webpHead {
		return nil, errForm
	}
	if turn != 1 && extended >= 0 {
		body := turned(turn)
		out = append(binary.LittleEndian.AppendUint32(append(out, "EXIF"...), uint32(len(body))), body...)
		out[extended] |= webpHasExif
	}
	binary.LittleEndian.PutUint32(out[4:], uint32(len(out)-8))
	return out, nil
}

// avif refuses a picture that carries more than itself: what it tells lies
// between the picture's own bytes, which point at each other by place (ISO/IEC
// 14496-12, items), so that it cannot be taken out without moving them.
func avif(data []byte) error {
	const hint = "save it without metadata, or as JPEG, PNG or WebP, which are cleaned"
	for i := 0; i < len(data); {
		kind, body, end, err := box(data, i)
		if err != nil {
			return err
		}
		switch kind {
		case "ftyp", "mdat", "free", "skip":
			if kind != "ftyp" && kind != "mdat" && bytes.ContainsFunc(body, func(r rune) bool { return r != 0 }) {
				return refuse(hint, "the AVIF picture has something in its padding")
			}
		case "meta":
			if bytes.Contains(body, []byte("Exif")) || bytes.Contains(body, []byte("mime")) || bytes.Contains(body, []byte("uri ")) || bytes.Contains(body, []byte("uuid")) {
				return refuse(hint, "the AVIF picture tells more than it shows (place, time or camera)")
			}
		default:
			return refuse(hint, "the AVIF picture has a part %q that is not published", kind)
		}
		i = end
	}
	return nil
}

// box returns a part of an ISO base media file.
func box(data []byte, i int) (kind string, body []byte, end int, err error) {
	if i+8 > len(data) {
		return "", nil, 0, errShort
	}
	n, head := uint64(binary.BigEndian.Uint32(data[i:])), 8
	switch n {
	case 0:
		n = uint64(len(data) - i)
	case 1:
		if head = 16; i+head > len(data) {
			return "", nil, 0, errShort
		}
		n = binary.BigEndian.Uint64(data[i+8:])
	}
	if n < uint64(head) {
		return "", nil, 0, errForm
	}
	if n > uint64(len(data)-i) {
		return "", nil, 0, errShort
	}
	return string(data[i+4 : i+8]), data[i+head : i+int(n)], i + int(n), nil
}
