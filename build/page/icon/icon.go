// Package icon draws the site's icon, a small vector drawing, as PNG and ICO
// files. It computes in whole numbers throughout, so that every machine draws
// the same pixels.
package icon

import (
	"bytes"
	"encoding/binary"
	"encoding/xml"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"strconv"
	"strings"
)

// Drawing is a picture of filled shapes on a square, painted in order.
type Drawing struct {
	side   int // of the square, in hundredths of the drawing's unit
	shapes []shape
}

type shape struct {
	fill  color.RGBA
	lines [][]point // closed outlines
}

// point is a place on the square, in hundredths of the drawing's unit.
type point struct{ x, y int64 }

// Parse reads an SVG drawing of the plain kind that this package can draw: a
// square viewBox that starts at 0 0, and path elements with a fill #rrggbb and
// absolute commands M, L, C and Z with at most two decimals (SVG 2, chapter
// 9). It refuses anything else, so that what it draws never differs from what
// a browser does with the same file.
func Parse(svg []byte) (Drawing, error) {
	var d Drawing
	dec := xml.NewDecoder(bytes.NewReader(svg))
	for {
		t, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return Drawing{}, fmt.Errorf("icon: %w", err)
		}
		e, ok := t.(xml.StartElement)
		if !ok {
			continue
		}
		if err := d.element(e); err != nil {
			return Drawing{}, fmt.Errorf("icon: byte %d: %w", dec.InputOffset(), err)
		}
	}
	if d.side == 0 || len(d.shapes) == 0 {
		return Drawing{}, errors.New("icon: there is nothing to draw; a viewBox and a path are needed")
	}
	return d, nil
}

func (d *Drawing) element(e xml.StartElement) error {
	switch e.Name.Local {
	case "svg":
		for _, a := range e.Attr {
			switch a.Name.Local {
			case "xmlns":
			case "viewBox":
				f := strings.Fields(a.Value)
				if len(f) != 4 || f[0] != "0" || f[1] != "0" || f[2] != f[3] {
					return fmt.Errorf("viewBox %q is no square from 0 0", a.Value)
				}
				n, err := strconv.Atoi(f[2])
				if err != nil || n < 1 || n > 1000 {
					return fmt.Errorf("viewBox %q is no whole number from 1 to 1000 wide", a.Value)
				}
				d.side = n * 100
			default:
				return fmt.Errorf("svg has %s, which is not drawn", a.Name.Local)
			}
		}
		return nil
	case "path":
		var s shape
		for _, a := range e.Attr {
			var err error
			switch a.Name.Local {
			case "fill":
				s.fill, err = colour(a.Value)
			case "d":
				s.lines, err = outline(a.Value)
			default:
				err = fmt.Errorf("path has %s, which is not drawn", a.Name.Local)
			}
			if err != nil {
				return err
			}
		}
		if s.fill.A == 0 || len(s.lines) == 0 {
			return errors.New("path without fill or d")
		}
		d.shapes = append(d.shapes, s)
		return nil
	}
	return fmt.Errorf("%s is not drawn; only paths are", e.Name.Local)
}

func colour(text string) (color.RGBA, error) {
	v, err := strconv.ParseUint(strings.TrimPrefix(text, "#"), 16, 32)
	if err != nil || len(text) != 7 || text[0] != '#' {
		return color.RGBA{}, fmt.Errorf("fill %q is not of the form #rrggbb", text)
	}
	return color.RGBA{R: uint8(v >> 16), G: uint8(v >> 8), B: uint8(v), A: 255}, nil
}

// PNG encodes a picture (ISO/IEC 15948).
func PNG(m *image.RGBA) ([]byte, error) {
	var b bytes.Buffer
	err := png.Encode(&b, m)
	return b.Bytes(), err
}

// ICO puts square pictures of at most 256 pixels into one icon file, each as a
// PNG: a directory of six bytes, sixteen for each picture, then the pictures
// (Microsoft's ICO format as in "The evolution of the ICO file format", part
// 4: PNG images).
func ICO(pictures ...*image.RGBA) ([]byte, error) {
	if len(pictures) == 0 {
		return nil, errors.New("icon: no picture for the ICO file")
	}
	le := binary.LittleEndian
	head := le.AppendUint16(nil, 0)                     // reserved
	head = le.AppendUint16(head, 1)                     // an icon
	head = le.AppendUint16(head, uint16(len(pictures))) // pictures
	var body []byte
	for _, m := range pictures {
		data, err := PNG(m)
		if err != nil {
			return nil, err
		}
		side := m.Rect.Dx()
		if side < 1 || side > 256 || side != m.Rect.Dy() {
			return nil, fmt.Errorf("icon: a picture of %v does not fit in an ICO file", m.Rect.Size())
		}
		head = append(head, uint8(side), uint8(side), 0, 0) // 256 wraps to 0, which means 256; no palette
		head = le.AppendUint16(head, 1)                     // colour planes
		head = le.AppendUint16(head, 32)                    // bits a pixel
		head = le.AppendUint32(head, uint32(len(data)))
		head = le.AppendUint32(head, uint32(6+16*len(pictures)+len(body)))
		body = append(body, data...)
	}
	return append(head, body...), nil
}
