package scrub

import (
	"bytes"
	"encoding/binary"
)

// Markers of JPEG (ITU-T T.81, table B.1).
const (
	markSOI   = 0xD8
	markEOI   = 0xD9
	markSOS   = 0xDA
	markTEM   = 0x01
	markRST0  = 0xD0
	markRST7  = 0xD7
	markAPP0  = 0xE0
	markAPP1  = 0xE1
	markAPP2  = 0xE2
	markAPP14 = 0xEE
	markAPP15 = 0xEF
	markCOM   = 0xFE
)

var exifHead = []byte("Exif\x00\x00")

// jpeg keeps the segments that a decoder needs, and what follows the end of
// the picture goes: phones put second pictures and films there.
func jpeg(data []byte) ([]byte, error) {
	out := make([]byte, 0, len(data))
	out = append(out, data[:2]...)
	placed := false // the way up goes behind JFIF, before all else
	turn := turnOf(data)
	for i := 2; ; {
		start := i
		if i >= len(data) {
			return nil, errShort
		}
		if data[i] != 0xFF {
			return nil, errForm
		}
		for i < len(data) && data[i] == 0xFF { // fill bytes
			i++
		}
		if i >= len(data) {
			return nil, errShort
		}
		mark := data[i]
		i++
		switch {
		case mark == markEOI:
			return append(out, 0xFF, markEOI), nil
		case mark == markTEM || mark >= markRST0 && mark <= markRST7:
			out = append(out, data[start:i]...)
			continue
		case mark == markSOI || mark == 0:
			return nil, errForm
		}
		body, end, err := segment(data, i)
		if err != nil {
			return nil, err
		}
		if mark != markAPP0 && !placed {
			out, placed = append(out, turnSegment(turn)...), true
		}
		if keepsSegment(mark, body) {
			out = append(out, data[start:end]...)
		}
		i = end
		if mark == markSOS {
			for i < len(data) && !(data[i] == 0xFF && i+1 < len(data) && data[i+1] != 0 && !(data[i+1] >= markRST0 && data[i+1] <= markRST7)) {
				i++
			}
			out = append(out, data[end:i]...)
		}
	}
}

// segment returns the body of the segment whose length stands at i.
func segment(data []byte, i int) (body []byte, end int, err error) {
	if i+2 > len(data) {
		return nil, 0, errShort
	}
	n := int(binary.BigEndian.Uint16(data[i:]))
	if n < 2 {
		return nil, 0, errForm
	}
	if i+n > len(data) {
		return nil, 0, errShort
	}
	return data[i+2 : i+n], i + n, nil
}

// keepsSegment tells what a decoder needs: of the application segments JFIF,
// colour profiles and Adobe's note on the colour transform; no comments.
func keepsSegment(mark byte, body []byte) bool {
	switch {
	case mark == markAPP0:
		return bytes.HasPrefix(body, []byte("JFIF\x00")) && len(body) >= 14 && body[12] == 0 && body[13] == 0 && len(body) == 14
	case mark == markAPP2:
		return bytes.HasPrefix(body, []byte("ICC_PROFILE\x00"))
	case mark == markAPP14:
		return bytes.HasPrefix(body, []byte("Adobe")) && len(body) == 12
	case mark > markAPP0 && mark <= markAPP15, mark == markCOM:
		return false
	}
	return true
}

// turnOf finds which way up the picture is to be shown, 1 where it does not say.
func turnOf(data []byte) int {
	for i := 2; i+4 <= len(data) && data[i] == 0xFF && data[i+1] != markSOS; {
		body, end, err := segment(data, i+2)
		if err != nil {
			return 1
		}
		if data[i+1] == markAPP1 && bytes.HasPrefix(body, exifHead) {
			return orientation(body[len(exifHead):])
		}
		i = end
	}
	return 1
}

// turnSegment is an Exif segment that says nothing but which way up.
func turnSegment(turn int) []byte {
	if turn == 1 {
		return nil
	}
	body := append(bytes.Clone(exifHead), turned(turn)...)
	return append([]byte{0xFF, markAPP1, 0, byte(len(body) + 2)}, body...)
}

// orientation reads the tag Orientation (274) of the first directory of a TIFF
// block (Exif 2.3, 4.6.4), 1 to 8; 1 where there is none.
func orientation(tiff []byte) int {
	if len(tiff) < 8 {
		return 1
	}
	var order binary.ByteOrder = binary.LittleEndian
	if string(tiff[:2]) == "MM" {
		order = binary.BigEndian
	}
	at := uint64(order.Uint32(tiff[4:]))
	if at+2 > uint64(len(tiff)) {
		return 1
	}
	n := uint64(order.Uint16(tiff[at:]))
	for i := range n {
		e := at + 2 + 12*i
		if e+12 > uint64(len(tiff)) {
			return 1
		}
		if order.Uint16(tiff[e:]) == 274 && order.Uint16(tiff[e+2:]) == 3 {
			if v := int(order.Uint16(tiff[e+8:])); v >= 1 && v <= 8 {
				return v
			}
			return 1
		}
	}
	return 1
}

// turned is a TIFF block that holds the tag Orientation alone.
func turned(turn int) []byte {
	return []byte{'M', 'M', 0, 42, 0, 0, 0, 8, 0, 1, 0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, byte(turn), 0, 0, 0, 0, 0, 0}
}
