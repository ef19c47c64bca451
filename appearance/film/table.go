package film

import (
	"math"

	"scumble/appearance/colour"
)

// View is what stays the same over a picture: the ground, what closes the finish, and who looks.
type View struct {
	Ground    colour.Spectrum // as measured or entered, outside its surface
	Surface   Surface         // of the ground, and of the glazes where no clear coat covers them
	Clear     *Clear          // nil without one
	Viewer    *colour.Viewer
	Unadapted bool // show the cast of the light, as colour.XYZ.RGBUnadapted does
}

// Tables hold linear sRGB as it comes, inside the gamut or not, so that means over an area and light added
// by flakes stay true; Fit makes a copy to be shown as it is. They are spaced by the square root of the
// film, since colour changes fastest where it is thin.
const (
	steps1 = 256 // of a film alone
	side   = 128 // nodes along each axis of two
	area   = side * side
)

// Table gives the colour of one film over the ground of a View by its um.
type Table struct {
	film, flakes *strip
	// Max is the thickest film in the table, um; thicker ones look like it.
	Max float64
	// Outside is the share of entries outside the gamut of sRGB.
	Outside float64
}

// strip is a line of colours; a cell holds its colour and the way to the next.
type strip struct {
	scale float32
	cells [steps1]struct{ r, g, b, dr, dg, db float32 }
}

// Table2 gives the colour of a first glaze under a second by their um.
type Table2 struct{ sheets }

// BlendTable gives the colour of two glazes worked into each other by the um of both together and the
// share of the second in them, 0..1.
type BlendTable struct{ sheets }

// sheets are what tables of two figures hold.
type sheets struct {
	film, flakes   *sheet // flakes is nil without
	scale1, scale2 float32
	// Outside is the share of entries outside the gamut of sRGB.
	Outside float64
}

// sheet is a square of colours; the fourth value makes for fast addressing.
type sheet [area][4]float32

// At is the linear sRGB colour of x um.
func (t *Table) At(x float32) (r, g, b float32) { return t.film.at(x) }

// Flake is the linear sRGB colour that flakes add to x um, to be multiplied by Flake.Brightness; black
// without flakes.
func (t *Table) Flake(x float32) (r, g, b float32) { return t.flakes.at(x) }

// Squares of places just within the last cell.
const (
	lastOf1 = 65535.99 // 256 cells
	lastOf2 = 16128.99 // 127 cells
)

func (s *strip) at(x float32) (r, g, b float32) {
	p := float32(math.Sqrt(float64(min(max(x*s.scale, 0), lastOf1))))
	c := &s.cells[uint8(p)]
	p -= float32(uint8(p))
	return c.r + float32(p*c.dr), c.g + float32(p*c.dg), c.b + float32(p*c.db)
}

// Row fills rgb, three values a place, with the colours of films in um. It stops at the shorter.
func (t *Table) Row(rgb, films []float32) { t.film.row(rgb, films) }

// FlakeRow is Row for what flakes add.
func (t *Table) FlakeRow(rgb, films []float32) { t.flakes.row(rgb, films) }

func (s *strip) row(rgb, films []float32) {
	for _, x := range films {
		if len(rgb) < 3 {
			return
		}
		rgb[0], rgb[1], rgb[2] = s.at(x)
		rgb = rgb[3:]
	}
}

// At is the linear sRGB colour of first um under second um.
func (t *Table2) At(first, second float32) (r, g, b float32) {
	return t.film.at(place(first*t.scale1), place(second*t.scale2))
}

// Flake is the linear sRGB colour that flakes add there, to be multiplied by Flake.Brightness; black
// without flakes.
func (t *Table2) Flake(first, second float32) (r, g, b float32) {
	return t.flakes.at(place(first*t.scale1), place(second*t.scale2))
}

// Row fills rgb, three values a place, with the colours of two films in um. It stops at the shortest.
func (t *Table2) Row(rgb, first, second []float32) { t.row(t.film, rgb, first, second) }

// FlakeRow is Row for what flakes add.
func (t *Table2) FlakeRow(rgb, first, second []float32) { t.row(t.flakes, rgb, first, second) }

func (t *Table2) row(s *sheet, rgb, first, second []float32) {
	n := min(len(first), len(second), len(rgb)/3)
	first, second = first[:n], second[:n]
	for i, x := range first {
		rgb[0], rgb[1], rgb[2] = s.at(place(x*t.scale1), place(second[i]*t.scale2))
		rgb = rgb[3:]
	}
}

// At is the linear sRGB colour of x um with a share of the second glaze in them.
func (t *BlendTable) At(x, share float32) (r, g, b float32) {
	return t.film.at(place(x*t.scale1), fold(share))
}

// Flake is the linear sRGB colour that flakes add there, to be multiplied by Flake.Brightness; black
// without flakes.
func (t *BlendTable) Flake(x, share float32) (r, g, b float32) {
	return t.flakes.at(place(x*t.scale1), fold(share))
}

// Row fills rgb, three values a place, with the colours of films in um with these shares of the second
// glaze. It stops at the shortest.
func (t *BlendTable) Row(rgb, films, shares []float32) { t.row(t.film, rgb, films, shares) }

// FlakeRow is Row for what flakes add.
func (t *BlendTable) FlakeRow(rgb, films, shares []float32) { t.row(t.flakes, rgb, films, shares) }

func (t *BlendTable) row(s *sheet, rgb, films, shares []float32) {
	n := min(len(films), len(shares), len(rgb)/3)
	films, shares = films[:n], shares[:n]
	for i, x := range films {
		rgb[0], rgb[1], rgb[2] = s.at(place(x*t.scale1), fold(shares[i]))
		rgb = rgb[3:]
	}
}

func place(square float32) float32 {
	return float32(math.Sqrt(float64(min(max(square, 0), lastOf2))))
}

// fold spaces shares closely at both ends, where a trace of a strong glaze in a weak one tells most.
func fold(share float32) float32 {
	if share > 0.5 {
		return float32(side-1) - place((1-share)*foldScale)
	}
	return place(share * foldScale)
}

// foldScale makes a share of one half the middle of the sheet.
const foldScale = (side - 1) * (side - 1) / 2.0

// unfold is the share at a node.
func unfold(node int) float64 {
	u := float64(node) / (side - 1)
	if u > 0.5 {
		return 1 - 2*(1-u)*(1-u)
	}
	return 2 * u * u
}

// at is the colour between four nodes. The masks change nothing: they spare the checks of bounds.
func (s *sheet) at(p, q float32) (r, g, b float32) {
	if s == nil {
		return 0, 0, 0
	}
	i, j := uint32(p), uint32(q)
	p, q = p-float32(i), q-float32(j)
	k := j*side + i
	n00, n10 := &s[k%area], &s[(k+1)%area]
	n01, n11 := &s[(k+side)%area], &s[(k+side+1)%area]
	w11 := float32(p * q)
	w10, w01 := p-w11, q-w11
	w00 := 1 - p - w01
	r = float32(w00*n00[0]) + float32(w10*n10[0]) + float32(w01*n01[0]) + float32(w11*n11[0])
	g = float32(w00*n00[1]) + float32(w10*n10[1]) + float32(w01*n01[1]) + float32(w11*n11[1])
	b = float32(w00*n00[2]) + float32(w10*n10[2]) + float32(w01*n01[2]) + float32(w11*n11[2])
	return r, g, b
}
