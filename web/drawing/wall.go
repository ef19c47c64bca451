package drawing

import (
	"fmt"
	"html/template"
	"math"

	"scumble/geom"
	"scumble/setout"
	"scumble/survey"
	"scumble/unit"
)

// Elevation is a wall to be drawn large.
type Elevation struct {
	Wall *survey.Wall
	// Label says in words what is shown, for those who do not see it.
	Label string
	// Width is the px the drawing may take; Highest bounds the height of the wall.
	Width, Highest float64
	// Name keeps the ids of drawings on one page apart.
	Name string
	// Picture is the address of the computed picture, "" = bare.
	Picture string
	// Dimensions draws lengths and heights; Keys the letters of the figures beside.
	Dimensions bool
	Keys       []Key
	// Fields are set out on the wall; none draws no strips or marks.
	Fields []Field
	// Sections draws the working sections with their numbers.
	Sections bool
	// Reach are heights in mm from which steps or a platform is needed, with words.
	Reach []Height
	// Drag lets openings be moved by hand.
	Drag bool
	// Wrong is true when a figure of the wall does not fit: its edges are dotted.
	Wrong bool
	// Mount is true on the grey surround, where lettering keeps the ink of paper.
	Mount bool
	// Corners are numbered on the drawing, in their order; none draws no numbers.
	Corners []geom.Point
	// Pieces are sections of Within in the order of work, and Letters their joints.
	Pieces  []Piece
	Letters []Letter
	Within  geom.Region
	// Plumb marks a place along the wall in mm, such as the datum.
	Plumb []float64
}

// Key is the letter of a figure beside the drawing.
type Key struct {
	Letter, Of string // Of: length | left | right | ridge | opening index as text
}

// Field is one face with its setting-out.
type Field struct {
	Face   *survey.Face
	SetOut *setout.Face
	Strips *setout.Strips
}

// Piece is a section with its number and a word, mm.
type Piece struct {
	Number         int
	Words          string
	X0, X1, Y0, Y1 float64
}

// Letter names a joint at a place, mm. A weak one has a shape of its own.
type Letter struct {
	X, Y float64
	Half float64 // half of its height, 0 = level
	Text string
	Weak bool
}

// Height is a height on the wall with words.
type Height struct {
	MM    float64
	Words string
}

type elevation struct {
	*pen
	Elevation
	sheet
	length, height float64 // mm
	width, foot    float64 // px of the whole drawing
}

// Draw draws the elevation.
func (e Elevation) Draw() template.HTML {
	d := &elevation{pen: &pen{}, Elevation: e}
	d.length, d.height = float64(e.Wall.Length), float64(e.Wall.Height)
	left, right, above := 12.0, 12.0, 14.0
	d.foot = 10
	if e.Dimensions {
		left, right, above, d.foot = 64, 46, 16, 52
		if d.height > math.Max(d.heightAt(0), d.heightAt(d.length))+0.5 {
			left = 80 // for the height of the ridge
		}
		if len(e.Wall.Openings) > 0 {
			d.foot = 86
		}
	}
	if len(d.marked()) > 0 {
		above, d.foot = 42, 74
	}
	d.scale = math.Min((e.Width-left-right)/math.Max(d.length, 1), e.Highest/math.Max(d.height, 1))
	d.sheet.left, d.floor = left, above+d.height*d.scale
	d.width = left + right + d.length*d.scale
	d.begin()
	d.finish()
	d.trim()
	d.openings()
	d.edges()
	d.leans()
	d.setOut()
	d.pieces()
	d.dimensions()
	for i, c := range d.Corners {
		x := d.x(c.X) + 12*(1-2*c.X/math.Max(d.length, 1)) // inwards, clear of the dimensions
		d.put(`<circle class="fine f-paper" cx="%s" cy="%s" r="9" pointer-events="none"/>`, px(x), px(d.y(c.Y)))
		d.put(`<text x="%s" y="%s" class="t-b t-c" pointer-events="none">%d</text>`, px(x), px(d.y(c.Y)+4.5), i+1)
	}
	d.put("</svg>")
	return d.html()
}

func (d *elevation) begin() {
	w, h := px(math.Ceil(d.width)), px(math.Ceil(d.floor+d.foot))
	drag := ""
	if d.Drag {
		drag = fmt.Sprintf(` data-mm-per-unit="%s"`, fixed(1/d.scale, 4))
	}
	d.put(`<svg width="%s" height="%s" viewBox="0 0 %s %s" role="%s" aria-label="%s"%s>`, w, h, w, h, map[bool]string{true: "group", false: "img"}[d.Drag], esc(d.Label), drag)
}

func fixed(v float64, decimals int) string { return fmt.Sprintf("%.*f", decimals, v) }

// finish lays the picture in the fields that are painted.
func (d *elevation) finish() {
	d.path("f-sheet", d.ring(d.Wall.Outline))
	if d.Picture == "" || len(d.Wall.Faces) == 0 {
		return
	}
	fields := ""
	for i := range d.Wall.Faces {
		fields += d.region(d.Wall.Faces[i].Field)
	}
	id := "e-" + d.Name
	d.put(`<clipPath id="%s"><path clip-rule="evenodd" d="%s"/></clipPath><g clip-path="url(#%s)">`, id, fields, id)
	d.put(`<image class="finish" href="%s" x="%s" y="%s" width="%s" height="%s" preserveAspectRatio="none"/></g>`,
		esc(d.Picture), px(d.x(0)), px(d.y(d.height)), px(d.length*d.scale), px(d.height*d.scale))
}

// trim draws skirting, cornice and rail, as quiet lines.
func (d *elevation) trim() {
	id := "t-" + d.Name
	d.put(`<clipPath id="%s"><path d="%s"/></clipPath><g clip-path="url(#%s)">`, id, d.ring(d.Wall.Outline), id)
	if s := float64(d.Wall.Skirting); s > 0 {
		d.line("fine", d.x(0), d.y(s), d.x(d.length), d.y(s))
	}
	if rail := float64(d.Wall.Dado); rail > 0 {
		d.line("fine", d.x(0), d.y(rail), d.x(d.length), d.y(rail))
		d.line("fine", d.x(0), d.y(rail-float64(d.Wall.DadoRail)), d.x(d.length), d.y(rail-float64(d.Wall.DadoRail)))
	}
	if c := float64(d.Wall.Cornice); c > 0 {
		for i := range d.Wall.Outline {
			if e := d.Wall.Outline.Edge(i); math.Min(e.A.Y, e.B.Y) > 0 && math.Abs(e.A.X-e.B.X) > 1 {
				d.line("fine", d.x(e.A.X), d.y(e.A.Y-c), d.x(e.B.X), d.y(e.B.Y-c))
			}
		}
	}
	for _, reach := range d.Reach {
		if reach.MM < d.height {
			d.line("mid dotted", d.x(0), d.y(reach.MM), d.x(d.length), d.y(reach.MM))
			d.text(d.x(0)+6, d.y(reach.MM)+15, "t-2 t-halo", reach.Words)
		}
	}
	d.put("</g>")
}

func (d *elevation) openings() {
	for i := range d.Wall.Openings {
		o := &d.Wall.Openings[i]
		if d.Drag {
			d.put(`<g data-opening="%s" data-left="%s" data-sill="%s" data-width="%s" data-height="%s" tabindex="0" role="img" aria-label="%s">`,
				esc(o.Path), fixed(float64(o.Left), 0), fixed(float64(o.Sill), 0), fixed(float64(o.Right-o.Left), 0), fixed(float64(o.Head-o.Sill), 0),
				esc(fmt.Sprintf("%s, %s mm from the left, sill %s mm. Arrow keys move it by 10 mm, with Shift by 1 mm.", o.Name, o.Left.MM(), o.Sill.MM())))
		}
		d.path("edge f-paper", d.ring(o.Outline))
		if o.Kind == "window" && o.Shape != "round" {
			x, y := d.x(float64(o.Left+o.Right)/2), d.y(float64(o.Sill+o.Head)/2)
			d.path("rule", "M"+px(x)+" "+px(d.y(float64(o.Sill)))+"V"+px(d.y(float64(o.Head)))+"M"+px(d.x(float64(o.Left)))+" "+px(y)+"H"+px(d.x(float64(o.Right))))
		}
		if d.Dimensions {
			d.openingWords(o)
		}
		if d.Drag {
			d.put("</g>")
		}
	}
}

// openingWords sets what an opening is where there is room for it.
func (d *elevation) openingWords(o *survey.Opening) {
	wide, high := float64(o.Right-o.Left)*d.scale, float64(o.Head-o.Sill)*d.scale
	x, y := d.x(float64(o.Left+o.Right)/2), d.y(float64(o.Sill+o.Head)/2)
	if size := (o.Right - o.Left).MM() + " × " + (o.Head - o.Sill).MM(); high > 40 && wide > 7.5*float64(len([]rune(size))) {
		if wide > 7.5*float64(len([]rune(o.Name))) {
			d.text(x, y-10, "t-c", o.Name)
		}
		d.text(x, y+16, "t-c t-2", size)
	}
}

// edges draws the outline and the floor line.
func (d *elevation) edges() {
	class := "edge"
	if d.Wrong {
		class = "wrong"
	}
	d.path(class, d.ring(d.Wall.Outline))
	d.line("floor", d.x(0)-d.sheet.left+2, d.floor+1.5, d.width-2, d.floor+1.5)
}

// leans draws the corners that are out of plumb.
func (d *elevation) leans() {
	for _, lean := range []struct{ at, by, side float64 }{{0, float64(d.Wall.LeanLeft), 1}, {d.length, float64(d.Wall.LeanRight), -1}} {
		if lean.by == 0 {
			continue
		}
		x, top := d.x(lean.at), d.y(d.height)
		by := math.Copysign(9, lean.by) * lean.side
		d.line("plumb", x, d.floor, x+by, top)
		d.upright(x-lean.side*8, (d.floor+top)/2, "t-c t-2 t-halo", "leans "+unit.Length(math.Abs(lean.by)).MM()+", drawn larger")
	}
}

// marked are the fields with marks.
func (d *elevation) marked() []Field {
	var out []Field
	for _, f := range d.Fields {
		if f.Strips != nil && len(f.Strips.Marks) > 0 {
			out = append(out, f)
		}
	}
	return out
}

func (d *elevation) setOut() {
	for i, f := range d.Fields {
		if f.Strips != nil {
			d.strips(f, i)
		}
		if d.Sections && f.SetOut != nil {
			d.sections(f)
		}
	}
}

// strips draws joints and the letters of the colours, and the marks under the wall.
func (d *elevation) strips(f Field, n int) {
	bounds := f.Face.Gross.Bounds()
	high := unit.Length(d.height)
	id := fmt.Sprintf("s-%s-%d", d.Name, n)
	d.put(`<clipPath id="%s"><path clip-rule="evenodd" d="%s"/></clipPath><g clip-path="url(#%s)">`, id, d.region(f.Face.Field), id)
	for _, class := range []string{"chalk-halo", "chalk"} {
		for _, m := range f.Strips.Marks {
			foot, head := m.Joint(high)
			d.line(class, d.x(foot.X), d.y(foot.Y), d.x(head.X), d.y(head.Y))
		}
	}
	d.put("</g>")
	last := math.Inf(-1)
	for _, s := range f.Strips.Strips {
		x := d.x((float64(s.Head[0]) + float64(s.Head[1])) / 2)
		if wide := float64(s.Head[1]-s.Head[0]) * d.scale; wide < 13 || x-last < 24 {
			continue
		}
		last = x
		y := d.y(bounds.Max.Y) + 26
		d.put(`<circle class="fine f-paper" cx="%s" cy="%s" r="10"/>`, px(x), px(y))
		d.text(x, y+4.5, "t-b t-c", s.Colour)
	}
	if n == 0 {
		d.marks(f)
		d.widths(f)
	}
}

// marks are cumulative from the datum, on a line under the floor.
func (d *elevation) marks(f Field) {
	y := d.floor + 30
	d.line("fine", d.x(0), y, d.x(d.length), y)
	d.put(`<circle class="f-chalk" cx="%s" cy="%s" r="5"/>`, px(d.x(0)), px(y))
	d.text(d.x(0), y+38, "t-b t-c", "0")
	last := math.Inf(-1)
	for _, m := range f.Strips.Marks {
		x := d.x(float64(m.Foot))
		d.line("mid", x, d.floor+6, x, y+6)
		if words := m.Foot.MM(); x-last > 8*float64(len([]rune(words)))+4 {
			d.text(x, y+20, "t-c", words)
			last = x
		}
	}
	end := d.x(d.length)
	d.line("mid", end, d.floor+6, end, y+6)
	d.text(math.Min(end, d.width-24), y+38, "t-b t-c", d.Wall.Length.MM())
}

// widths are dimensioned over the head of the wall: the first piece and one strip.
func (d *elevation) widths(f Field) {
	strips := f.Strips.Strips
	y := d.y(d.height) - 12
	for i := 0; i < len(strips) && i < 2; i++ {
		d.dimension(d.x(float64(strips[i].Foot[0])), d.x(float64(strips[i].Foot[1])), y, (strips[i].Foot[1] - strips[i].Foot[0]).MM())
	}
	if n := len(strips); n > 2 {
		s := strips[n-1]
		d.dimension(d.x(float64(s.Foot[0])), d.x(float64(s.Foot[1])), y, (s.Foot[1] - s.Foot[0]).MM())
	}
}

// sections draws the edges of the sections where something is painted, and a number in
// each where there is room for one.
func (d *elevation) sections(f Field) {
	id := fmt.Sprintf("x-%s-%s", d.Name, px(f.Face.Gross.Bounds().Min.Y))
	d.put(`<clipPath id="%s"><path clip-rule="evenodd" d="%s"/></clipPath><g clip-path="url(#%s)">`, id, d.region(f.Face.Field), id)
	low, right := f.Face.Gross.Bounds().Min.Y, f.Face.Gross.Bounds().Max.X
	for _, class := range []string{"chalk-halo", "chalk"} {
		for _, s := range f.SetOut.Sections {
			if float64(s.X1) < right-1 {
				d.line(class, d.x(float64(s.X1)), d.y(float64(s.Y0)), d.x(float64(s.X1)), d.y(float64(s.Y1)))
			}
			if float64(s.Y0) > low+1 {
				d.line(class, d.x(float64(s.X0)), d.y(float64(s.Y0)), d.x(float64(s.X1)), d.y(float64(s.Y0)))
			}
		}
	}
	d.put("</g>")
	for _, s := range f.SetOut.Sections {
		at, ok := spot(f.Face.Field, s)
		if !ok {
			continue
		}
		d.put(`<circle class="fine f-paper" cx="%s" cy="%s" r="11"/>`, px(d.x(at.X)), px(d.y(at.Y)))
		d.text(d.x(at.X), d.y(at.Y)+4.5, "t-b t-c", fmt.Sprint(s.Number))
	}
}

// spot is a place for the number of a section: as near its middle as something is painted.
func spot(field geom.Region, s setout.Section) (geom.Point, bool) {
	best, found := geom.Point{}, false
	most := 0.0
	for _, share := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9} {
		x := float64(s.X0) + share*float64(s.X1-s.X0)
		for _, span := range field.SpanAt(x) {
			low, high := math.Max(span[0], float64(s.Y0)), math.Min(span[1], float64(s.Y1))
			if high-low > most*1.5 && high-low > 0 {
				best, found, most = geom.Point{X: x, Y: (low + high) / 2}, true, high-low
			}
		}
	}
	return best, found
}

// dimensions draws the length, the heights at both ends and those of openings.
func (d *elevation) dimensions() {
	for _, at := range d.Plumb {
		d.line("plumb", d.x(at), d.y(d.height), d.x(at), d.floor)
	}
	if !d.Dimensions || len(d.marked()) > 0 {
		return
	}
	low := d.floor + 34
	if len(d.Wall.Openings) > 0 {
		d.chain(low)
		low += 34
	}
	d.ticked(d.x(0), d.x(d.length), low, d.keyed("length", d.Wall.Length.MM()))
	at0, at1 := d.heightAt(0), d.heightAt(d.length)
	d.standing(d.sheet.left-26, at0, d.keyed("left", unit.Length(at0).MM()))
	if math.Abs(at1-at0) > 0.5 {
		d.standing(d.x(d.length)+20, at1, d.keyed("right", unit.Length(at1).MM()))
	}
	if d.height > math.Max(at0, at1)+0.5 {
		d.standing(d.sheet.left-50, d.height, d.keyed("ridge", unit.Length(d.height).MM()))
	}
}

func (d *elevation) keyed(of, figure string) string {
	for _, k := range d.Keys {
		if k.Of == of {
			return k.Letter + "  " + figure
		}
	}
	return figure
}

// heightAt is the height of the outline at one of its ends.
func (d *elevation) heightAt(x float64) float64 {
	high := 0.0
	for _, c := range d.Wall.Outline {
		if math.Abs(c.X-x) < 1 {
			high = math.Max(high, c.Y)
		}
	}
	return high
}

// chain dimensions openings and what lies between them along the floor.
func (d *elevation) chain(y float64) {
	at := []float64{0}
	for _, o := range d.Wall.Openings {
		at = append(at, float64(o.Left), float64(o.Right))
	}
	at = append(at, d.length)
	for i := range at[1:] {
		if wide := at[i+1] - at[i]; wide > 0.5 {
			d.ticked(d.x(at[i]), d.x(at[i+1]), y, unit.Length(wide).MM())
		}
	}
}

// ticked is a dimension under the floor with its extension lines.
func (d *elevation) ticked(x1, x2, y float64, words string) {
	d.path("mid", "M"+px(x1)+" "+px(d.floor+6)+"V"+px(y+6)+"M"+px(x2)+" "+px(d.floor+6)+"V"+px(y+6))
	d.dimension(x1, x2, y, words)
}

func (d *elevation) dimension(x1, x2, y float64, words string) {
	d.path("fine", "M"+px(x1-6)+" "+px(y)+"H"+px(x2+6))
	for _, x := range []float64{x1, x2} {
		d.path("edge", "M"+px(x-4)+" "+px(y+4)+"l8 -8")
	}
	if x2-x1 > 7.5*float64(len([]rune(words)))-6 {
		d.text((x1+x2)/2, y-6, "t-c t-halo", words)
	}
}

// standing is an upright dimension from the floor to a height in mm.
func (d *elevation) standing(x, high float64, words string) {
	top := d.y(high)
	d.path("fine", "M"+px(x)+" "+px(d.floor)+"V"+px(top))
	for _, y := range []float64{d.floor, top} {
		d.path("edge", "M"+px(x-4)+" "+px(y+4)+"l8 -8")
	}
	d.upright(x-7, (d.floor+top)/2, "t-c t-halo", words)
}
