package figure

import (
	"strings"
	"unicode"
)

// Sizes of text in units of the viewBox; chart.css states the same.
const (
	tickSize  = 13.0
	labelSize = 14.0
	lineStep  = 17.0 // from one line of a label to the next
)

// Advance widths of U+0020 to U+007E in thousandths of an em: for each the
// wider of DejaVu Sans 2.37 and Liberation Sans (which has the widths of
// Arial and Helvetica), read from the fonts. DejaVu Sans is wider than the
// system fonts of phones and desktops, so that a label never takes more room
// than we think.
var advance = [...]uint16{
	318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337,
	636, 636, 636, 636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 556,
	1015, 684, 686, 722, 770, 667, 611, 778, 752, 295, 500, 667, 557, 863, 748, 787,
	667, 787, 722, 667, 611, 732, 684, 989, 685, 667, 685, 390, 337, 390, 838, 556,
	500, 613, 635, 550, 635, 615, 352, 635, 634, 278, 278, 579, 278, 974, 634, 612,
	635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838,
}

// textWidth is the room that s takes at the given size, on the safe side.
func textWidth(s string, size float64) float64 {
	sum := 0
	for _, r := range s {
		switch {
		case r >= ' ' && r <= '~':
			sum += int(advance[r-' '])
		case unicode.Is(unicode.Mn, r), r == '\u200d', r == '\u200b':
		case r == '\u00a0', r == '\u202f', r == '’', r == '·':
			sum += 318
		case r == '°', r == '–':
			sum += 500
		case r >= 0x1100 && !unicode.Is(unicode.Latin, r) && !unicode.IsPunct(r) && r != '\u2212':
			sum += 1050
		case unicode.IsLower(r):
			sum += 700
		case unicode.IsUpper(r):
			sum += 850
		default:
			sum += 1000
		}
	}
	return float64(sum) * size / 1000
}

// clean takes out what XML 1.0 cannot hold and joins white space.
func clean(s string) string {
	s = strings.ToValidUTF8(s, "\uFFFD")
	s = strings.Map(func(r rune) rune {
		switch {
		case r == '\t', r == '\n', r == '\r':
			return ' '
		case r < 0x20, r >= 0x7f && r <= 0x9f, r == 0xFFFE, r == 0xFFFF:
			return -1
		}
		return r
	}, s)
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' }), " ")
}

// wrap breaks s into at most maxLines lines of the given width, at spaces
// where it can. Cut tells that the end had to be left out, which the last line
// shows with "…".
func wrap(s string, size, width float64, maxLines int) (lines []string, cut bool) {
	s = clean(s)
	for s != "" {
		if textWidth(s, size) <= width {
			return append(lines, s), false
		}
		if len(lines) == maxLines-1 {
			return append(lines, strings.TrimRight(s[:fitting(s, size, width-textWidth("…", size))], " ")+"…"), true
		}
		n := fitting(s, size, width)
		if i := strings.LastIndexByte(s[:min(n+1, len(s))], ' '); i > 0 {
			n = i
		}
		if n == 0 { // not even one letter fits
			return append(lines, "…"), true
		}
		lines = append(lines, strings.TrimRight(s[:n], " "))
		s = strings.TrimLeft(s[n:], " ")
	}
	return lines, false
}

// fitting is how many bytes of s fit into width, a base letter never parted
// from its marks.
func fitting(s string, size, width float64) int {
	last := 0
	for i, r := range s {
		if i > 0 && !unicode.Is(unicode.Mn, r) && r != '\u200d' {
			if textWidth(s[:i], size) > width {
				return last
			}
			last = i
		}
	}
	if textWidth(s, size) <= width {
		return len(s)
	}
	return last
}

func widest(lines []string, size float64) float64 {
	w := 0.0
	for _, l := range lines {
		w = max(w, textWidth(l, size))
	}
	return w
}
