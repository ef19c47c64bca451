package draw

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"testing"
)

const (
	hindi  = "दीवार की रंगाई: नियुक्ति, क्षत्रिय, विद्यालय। ऊपर से नीचे एक ही खिंचाव में, अधिकतम 12 मिनट।"
	arabic = "اسحب الفرشاة من الأعلى إلى الأسفل، عرض الجدار \u2066" + "4\u202f200 mm\u2069 تقريبا ثم امسح الحافة الرطبة قبل أن تجف"
	tamil  = "சுவர் வண்ணம் கொடுத்தல்: மேலிருந்து கீழே ஒரே இழுப்பில், ஸ்ரீ க்ஷ"
)

// texture is a small invented picture with a transparent corner.
func texture(w, h int) *image.NRGBA {
	im := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			a := uint8(255)
			if x+y < w/3 {
				a = 60
			}
			im.SetNRGBA(x, y, color.NRGBA{uint8(150 + 60*x/w), uint8(120 + 40*((x*7+y*3)%11)/11), uint8(70 + 60*y/h), a})
		}
	}
	return im
}

func jpegBytes(t testing.TB, im image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, im, &jpeg.Options{Quality: 85}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// drawing is a wall elevation with most kinds of item on it.
func drawing(t testing.TB, b Box) []Item {
	edge, small := Ink(0.35, Black), Style{Size: 7}
	wall := Box{b.X + 12, b.Y + 6, 90, 54}
	window := Box{wall.X + 30, wall.Y + 12, 24, 22}
	region := Polygon(
		[]Point{{X: wall.X, Y: wall.Y}, {X: wall.X + wall.W, Y: wall.Y}, {X: wall.X + wall.W, Y: wall.Y + wall.H}, {X: wall.X, Y: wall.Y + wall.H}},
		[]Point{{X: window.X, Y: window.Y}, {X: window.X + window.W, Y: window.Y}, {X: window.X + window.W, Y: window.Y + window.H}, {X: window.X, Y: window.Y + window.H}})
	finish := region
	items := []Item{
		Group{ID: "north wall", Title: "North wall", Items: []Item{
			finish.Filled(0xb98a5aff),
			Hatch(region.Outline, 3, 45, Ink(0.13, Colour(0x00000080))),
			region.Stroked(edge),
		}},
		Line(wall.X-4, wall.Y+wall.H, wall.X+wall.W+4, wall.Y+wall.H, Ink(0.7, Black)),
		Text{At: Pt(wall.X+wall.W/2, wall.Y+46), Text: "Glaze A over base 2", Style: Style{Size: 9, Bold: true}, Align: Centre, Halo: 0.5},
		Line(wall.X, wall.Y+40, wall.X+wall.W, wall.Y+40, Stroke{Width: 0.25, Colour: 0x24548cff, Dash: []float64{2, 1}}),
		Circle(window.X+12, window.Y+11, 6).Filled(0x24548c60).Stroked(Ink(0.25, 0x24548cff)),
		Path{Outline: Outline{}.Arc(window.X+12, window.Y+11, 9, -90, 45), Stroke: Stroke{Width: 1, Colour: 0xa04020ff, Cap: RoundCap}},
		Polyline([]Point{{X: b.X + 110, Y: b.Y + 10}, {X: b.X + 118, Y: b.Y + 40}, {X: b.X + 126, Y: b.Y + 10}}, Stroke{Width: 2, Colour: 0x333333ff}),
		Polyline([]Point{{X: b.X + 130, Y: b.Y + 10}, {X: b.X + 138, Y: b.Y + 40}, {X: b.X + 146, Y: b.Y + 10}}, Stroke{Width: 2, Colour: 0x333333ff, Join: RoundJoin, Cap: Square}),
		Image{Box: Box{b.X + 110, b.Y + 44, 20, 14}, Pixels: texture(60, 42), Alt: "texture with a thin corner"},
		Image{Box: Box{b.X + 134, b.Y + 44, 20, 14}, JPEG: jpegBytes(t, texture(60, 42)), Alt: "the same as JPEG"},
		Group{Place: Rotate(12).Then(Shift(b.X+118, b.Y+66)), Clip: Circle(8, 4, 7).Outline,
			Items: []Item{Rect(0, 0, 16, 8).Filled(0x708060ff), Label(8, 5, "clipped", small.Coloured(White), Centre)}},
		Group{Link: "https://example.org/wall?a=1&b=2", Items: []Item{Label(b.X+134, b.Y+68, "a link", small.Coloured(0x24548cff), Left)}},
	}
	for i, d := range []float64{30, 24, 36} { // a chain of dimensions with oblique ticks
		x := wall.X + []float64{0, 30, 54}[i]
		y := wall.Y + wall.H + 6
		items = append(items, Line(x, y, x+d, y, Ink(0.18, Black)), Line(x-0.8, y+0.8, x+0.8, y-0.8, edge),
			Label(x+d/2, y-0.8, fmt.Sprintf("%.0f\u202f%03.0f", d/30, (d/30-float64(int(d/30)))*1000), small, Centre))
	}
	return append(items, Text{At: Pt(wall.X-5, wall.Y+wall.H/2), Text: "2\u202f700", Style: small, Align: Centre, Rotate: -90})
}

// quote is a document of one table over several pages, with the drawing before it.
func quote(t testing.TB, f *Fonts, rows int, paper Paper) Doc {
	body := Style{Size: 9}
	fl := NewFlow(f, FlowOptions{Paper: paper,
		Header: func(n, total int, b Box) []Item {
			return []Item{Label(b.X, b.Y+12, "Quote 0042: hall and stairs", Style{Size: 8, Colour: 0x5c5c5cff}, Left),
				Line(b.X, b.Y+14, b.X+b.W, b.Y+14, Ink(0.18, Black))}
		},
		Footer: func(n, total int, b Box) []Item {
			return []Item{Label(b.X+b.W, b.Y+10, fmt.Sprintf("%d of %d", n, total), Style{Size: 8}, Right)}
		}})
	fl.Heading("Setting-out AVATAR To Wave fi ffl ½ 3/8″ señal", Style{Size: 18, Bold: true})
	fl.Paragraph("Drag the top glaze over the dry base in one stroke, from the ceiling to the skirting, and keep a wet edge: work in strips of about 600 mm, "+
		"two people, one laying and one breaking the colour. Stop only at a corner. The figures are invented for the demonstration.", body)
	fl.Paragraph(hindi, Style{Size: 9, Lang: "hi"})
	fl.Paragraph(arabic, Style{Size: 9, Lang: "ar"})
	fl.Paragraph(tamil, Style{Size: 9, Lang: "ta"})
	fl.Hanging("1", "Lay the glaze thin with a roller, top to bottom, and never go back into it once it has begun to pull: it will show as a dark band that cannot be taken out again.", body, 6)
	fl.Hanging("2", "Break the colour.", body, 6)
	fl.Block(76, func(b Box) []Item { return drawing(t, b) })
	fl.Heading("Walls and prices", Style{Size: 12, Bold: true})
	table := Table{Columns: []Column{
		{Title: "Wall", Flex: 3}, {Title: "Finish", Flex: 2}, {Title: "Area", Unit: "m²", Align: Right},
		{Title: "Time", Unit: "h", Align: Right}, {Title: "Price", Unit: "EUR", Align: Right}}}
	for i := range rows {
		if i%12 == 0 {
			table.Rows = append(table.Rows, Row{Kind: GroupRow, Cells: Cells(fmt.Sprintf("Room %d", i/12+1))})
		}
		r := Row{Cells: Cells(fmt.Sprintf("Wall %d, from the door to the window", i+1), "Broken glaze, two colours",
			fmt.Sprintf("%.2f", 7+float64(i*37%100)/9), fmt.Sprintf("%.1f", 1+float64(i%7)/3), fmt.Sprintf("%d.%02d", 180+i*13%900, i*7%100))}
		if i%5 == 0 {
			r.Cells[0].Note = "7.4 m² at 3.2 m²/h, with a second pair of hands for the wet edge along the stairs"
		}
		table.Rows = append(table.Rows, r)
	}
	table.Rows = append(table.Rows, Row{Kind: SumRow, Cells: Cells("Sum", "", "312.45", "48.0", "10\u202f211.00")})
	fl.Table(table)
	return Doc{Title: "Quote – कोटेशन", Author: "Demo", Lang: "en", Pages: fl.Pages()}
}
