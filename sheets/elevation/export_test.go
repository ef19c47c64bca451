package elevation

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"slices"
	"testing"

	"scumble/draw"
)

func TestSVGIsWellFormed(t *testing.T) {
	j, s, so := demo(t)
	f := draw.NewFonts()
	for _, v := range Walls(j, s, so)[:12] {
		one, err := SVG(f, v, Options{W: 420, H: 297, Reach: testReach})
		if err != nil {
			t.Fatal(err)
		}
		two, _ := SVG(f, v, Options{W: 420, H: 297, Reach: testReach})
		if !bytes.Equal(one, two) {
			t.Errorf("%s: two runs differ", v.Name())
		}
		d := xml.NewDecoder(bytes.NewReader(one))
		root := ""
		for {
			token, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", v.Name(), err)
			}
			if e, ok := token.(xml.StartElement); ok && root == "" {
				root = e.Name.Local
			}
		}
		if root != "svg" {
			t.Errorf("%s: root is %q", v.Name(), root)
		}
	}
}

func TestDXFLayersAreTrueSize(t *testing.T) {
	v := viewOf(t, "Breakfast room/East")
	layers := map[string]draw.Layer{}
	for _, l := range DXFLayers(v) {
		layers[l.Name] = l
	}
	wall := layers["WALL"].Shapes[0].(draw.CADPolyline)
	xs := []float64{}
	for _, p := range wall.Points {
		xs = append(xs, p.X)
	}
	if !wall.Closed || slices.Max(xs)-slices.Min(xs) != 3620 {
		t.Errorf("wall is %+v", wall)
	}
	opening := layers["OPENINGS"].Shapes[0].(draw.CADPolyline)
	if opening.Points[0] != draw.Pt(1090, 860) {
		t.Errorf("window starts at %v, want 1090, 860", opening.Points[0])
	}
	var ticks []float64
	for _, s := range layers["MARKS"].Shapes {
		if l, ok := s.(draw.CADLine); ok {
			ticks = append(ticks, l.From.X)
		}
	}
	for i, m := range v.Fields[0].Strips.Marks {
		if math.Abs(ticks[i]-float64(m.Foot)) > 1e-9 {
			t.Errorf("mark %d at %v, want %v", m.Number, ticks[i], m.Foot)
		}
	}
	if len(layers["JOINTS"].Shapes) < len(v.Fields[0].Strips.Marks) {
		t.Errorf("%d pieces of joint for %d marks", len(layers["JOINTS"].Shapes), len(v.Fields[0].Strips.Marks))
	}
	round := DXFLayers(viewOf(t, "Tern room/Gable"))
	found := false
	for _, l := range round {
		if l.Name == "OPENINGS" {
			c, ok := l.Shapes[0].(draw.CADCircle)
			found = ok && c.R == 400 && c.Centre == draw.Pt(2200, 2750)
		}
	}
	if !found {
		t.Error("the round window is not a circle of 400 about 2200, 2750")
	}
}
