package page

import (
	"fmt"
	"image"
	"image/color"
	"sync"

	"ripeward/build/page/icon"
	"ripeward/templates"
)

// maskInset is how much of a maskable icon's side is left free on each side,
// in percent: its drawing then lies in the circle of 40 % of the side that no
// mask cuts (W3C Web Application Manifest).
const maskInset = 10

// pictures are the site's icon as files: plain and maskable at both sizes that
// an installed page needs, and the small ones that a browser asks for by name.
type pictures struct {
	plain192, plain512, mask192, mask512, favicon []byte
}

// drawIcons draws them, once a run of the program.
var drawIcons = sync.OnceValues(func() (pictures, error) {
	var p pictures
	svg, err := templates.Files.ReadFile("assets/icon.svg")
	if err != nil {
		return p, err
	}
	d, err := icon.Parse(svg)
	if err != nil {
		return p, err
	}
	paper := color.RGBA{A: 255}
	if _, err := fmt.Sscanf(paperColour("light"), "#%02x%02x%02x", &paper.R, &paper.G, &paper.B); err != nil {
		return p, fmt.Errorf("the paper's colour %q: %w", paperColour("light"), err)
	}
	mask := icon.Look{Inset: maskInset, Paper: paper}
	for _, x := range []struct {
		to   *[]byte
		side int
		look icon.Look
	}{{&p.plain192, 192, icon.Look{}}, {&p.plain512, 512, icon.Look{}}, {&p.mask192, 192, mask}, {&p.mask512, 512, mask}} {
		if *x.to, err = icon.PNG(d.Draw(x.side, x.look)); err != nil {
			return p, err
		}
	}
	var small []*image.RGBA
	for _, side := range []int{16, 32, 48} {
		small = append(small, d.Draw(side, icon.Look{}))
	}
	p.favicon, err = icon.ICO(small...)
	return p, err
})

// icons are the places of the pictures among the assets.
type icons struct {
	Icon192, Icon512 string // PNG
	Mask192, Mask512 string // PNG, to be cut to any shape
	favicon          []byte // the file itself: its place is fixed
}

// putIcons puts the icons among the assets.
func putIcons(put func(name string, data []byte) string) (icons, error) {
	p, err := drawIcons()
	if err != nil {
		return icons{}, err
	}
	return icons{Icon192: put("icon-192.png", p.plain192), Icon512: put("icon-512.png", p.plain512),
		Mask192: put("icon-mask-192.png", p.mask192), Mask512: put("icon-mask-512.png", p.mask512), favicon: p.favicon}, nil
}
