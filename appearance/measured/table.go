package measured

import (
	"cmp"
	"fmt"
	"math"

	"scumble/appearance/colour"
)

// table is a header and what was said about all its rows. A row is a sample; but when
// there is one column of wavelengths, a row is a wavelength and a column a sample.
type table struct {
	r       *reader
	columns []column
	index   map[kind]int // the first column of a kind
	all     Sample       // what holds for every row
	white   float64      // what perfect white is in the file, 0 unknown
	waves   []float64    // of the bands, or one for each row
	waveAt  []Place
	down    map[int]*draft // by column, in a table that goes down
	rows    int            // also those that could not be read
}

// triples of columns that mean something only together.
var triples = [][3]kind{{labL, labA, labB}, {xyzX, xyzY, xyzZ}, {red, green, blue}}

// newTable makes ready to read the rows under a header.
func (r *reader) newTable(header []column, all Sample, white float64) *table {
	t := &table{r: r, columns: header, index: map[kind]int{}, all: all, white: white}
	count := map[kind]int{}
	for i, c := range header {
		if count[c.kind]++; count[c.kind] == 1 {
			t.index[c.kind] = i
		}
		if c.kind == band {
			t.waves, t.waveAt = append(t.waves, c.nm), append(t.waveAt, c.at)
		}
	}
	if count[wavelength] == 1 && count[band] == 0 {
		t.down = map[int]*draft{}
		for i := t.index[wavelength] + 1; i < len(header); i++ {
			if c := header[i]; c.kind == pairValue || count[pairValue] == 0 {
				t.down[i] = &draft{Sample: all, white: white}
				t.down[i].At = c.at
				if c.kind != pairValue {
					t.down[i].Name = c.name
				}
			}
		}
		return t
	}
	for _, three := range triples {
		if n := min(count[three[0]], 1) + min(count[three[1]], 1) + min(count[three[2]], 1); n == 0 || n == 3 {
			continue
		}
		for _, k := range three {
			if i, ok := t.index[k]; ok {
				r.note(header[i].at, header[i].name, "this column is left out, because its two companions are not all there", "give L, a, b or X, Y, Z or r, g, b together")
				delete(t.index, k)
			}
		}
	}
	return t
}

// useful says whether rows of the table can give a colour.
func (t *table) useful() bool {
	for _, k := range []kind{labL, xyzX, red, hex, band, pairValue} {
		if _, ok := t.index[k]; ok {
			return true
		}
	}
	return len(t.down) > 0
}

// row takes in one row, which has at least one cell.
func (t *table) row(cells []cell) {
	t.rows++
	for len(cells) > len(t.columns) && cells[len(cells)-1].text == "" {
		cells = cells[:len(cells)-1]
	}
	if len(cells) != len(t.columns) {
		t.r.wrong(cells[0].at, "", fmt.Sprintf("this row has %d values, the header has %d columns", len(cells), len(t.columns)), "give each column one value; quote names that hold spaces or separators")
		return
	}
	if t.down != nil {
		t.rowDown(cells)
		return
	}
	d := &draft{Sample: t.all, white: t.white, waves: t.waves, waveAt: t.waveAt}
	d.At = cells[0].at
	get := func(k kind) cell {
		if i, ok := t.index[k]; ok {
			return cells[i]
		}
		return cell{}
	}
	d.Name = cmp.Or(plain(get(sampleName).text), plain(get(sampleID).text))
	for k := lightName; k <= film; k++ {
		t.r.describe(&d.Sample, k, get(k))
	}
	if c := get(hex); c.text != "" {
		if rgb, err := colour.ParseHex(c.text); err == nil {
			d.RGB = &rgb
		} else {
			t.r.wrong(c.at, d.Name, shown(c.text)+" is not a screen colour", "write # and six hexadecimal digits, such as #c8b49a")
		}
	}
	for _, three := range triples {
		t.r.figures(d, three[0], [3]cell{get(three[0]), get(three[1]), get(three[2])}, 255)
	}
	t.spectrum(d, cells)
	t.r.keep(d)
}

// spectrum takes in the reflectances of a row. A row with none of them is a colour
// without a spectrum.
func (t *table) spectrum(d *draft, cells []cell) {
	given := false
	for i, c := range t.columns {
		given = given || cells[i].text != "" && (c.kind == band || c.kind == pairValue)
	}
	if !given {
		return
	}
	for i, c := range t.columns {
		switch {
		case c.kind == band:
			v, ok := t.r.number(cells[i], d.Name, c.name)
			d.add(v, cells[i].at, ok)
		case c.kind == pairValue && len(t.waves) == 0 && i > 0 && t.columns[i-1].kind == wavelength && cells[i].text+cells[i-1].text != "":
			nm, ok1 := t.r.number(cells[i-1], d.Name, t.columns[i-1].name)
			v, ok2 := t.r.number(cells[i], d.Name, c.name)
			d.waves, d.waveAt = append(d.waves, nm), append(d.waveAt, cells[i-1].at)
			d.add(v, cells[i].at, ok1 && ok2)
		}
	}
}

// rowDown takes in the values at one wavelength.
func (t *table) rowDown(cells []cell) {
	i := t.index[wavelength]
	nm, right := t.r.number(cells[i], "", t.columns[i].name)
	t.waves, t.waveAt = append(t.waves, nm), append(t.waveAt, cells[i].at)
	for ; i < len(cells); i++ {
		if d := t.down[i]; d != nil {
			v, ok := t.r.number(cells[i], d.Name, t.columns[i].name)
			d.add(v, cells[i].at, ok && right)
		}
	}
}

// close ends the table.
func (t *table) close() {
	for i := range t.columns {
		if d := t.down[i]; d != nil {
			d.waves, d.waveAt = t.waves, t.waveAt
			if t.r.lamp && len(t.down) == 1 {
				d.Name = "" // its header says "power", not which lamp
			}
			t.r.keep(d)
		}
	}
}

// figures sets the Lab, XYZ or RGB of a draft, whichever begins with the given kind.
// Three empty cells are no figures. RGB are steps from 0 to top and are kept to the
// nearest of 8 bits.
func (r *reader) figures(d *draft, first kind, cells [3]cell, top float64) {
	if cells[0].text+cells[1].text+cells[2].text == "" {
		return
	}
	names := map[kind][3]string{labL: {"L", "a", "b"}, xyzX: {"X", "Y", "Z"}, red: {"r", "g", "b"}}[first]
	var v [3]float64
	var ok [3]bool
	for i, c := range cells {
		v[i], ok[i] = r.number(c, d.Name, names[i])
	}
	if ok != [3]bool{true, true, true} {
		return
	}
	low, high := min(v[0], v[1], v[2]), max(v[0], v[1], v[2])
	do := ""
	switch first {
	case labL:
		d.Lab = &colour.Lab{L: v[0], A: v[1], B: v[2]}
		if v[0] < 0 || v[0] > 110 || low < -200 || high > 200 {
			d.Lab, do = nil, "L must be within 0 and 110, a and b within -200 and 200"
		}
	case xyzX:
		d.XYZ = &colour.XYZ{X: v[0], Y: v[1], Z: v[2]}
		if low < 0 || high > 200 {
			d.XYZ, do = nil, "give X, Y, Z with Y = 100 for white, none below 0"
		}
	case red:
		if low < 0 || high > top || v != [3]float64{math.Trunc(v[0]), math.Trunc(v[1]), math.Trunc(v[2])} {
			do = fmt.Sprintf("give r, g, b as whole numbers from 0 to %g", top)
			break
		}
		b := func(x float64) uint8 { return uint8(math.Round(x / top * 255)) }
		rgb := colour.FromBytes(b(v[0]), b(v[1]), b(v[2]))
		d.RGB = &rgb
	}
	if do != "" {
		r.wrong(cells[0].at, d.Name, fmt.Sprintf("%g, %g, %g is not the colour of a surface", v[0], v[1], v[2]), do)
	}
}
