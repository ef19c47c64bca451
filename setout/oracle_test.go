//go:build oracle

package setout

import (
	"bytes"
	"encoding/json"
	"math"
	"os/exec"
	"testing"

	"pgregory.net/rapid"

	"scumble/survey"
)

// shapely computes strip areas a second way: the wall as drawn, less skirting and
// openings, cut by each strip (Debian's python3-shapely, on GEOS).
const shapely = `
import json, sys
from shapely.geometry import Polygon, box
out = []
for case in json.load(sys.stdin):
    field = Polygon(case["outline"]).intersection(box(-1e6, case["low"], 1e6, case["high"]))
    for o in case["openings"]:
        field = field.difference(Polygon(o))
    out.append([field.intersection(Polygon(s)).area for s in case["strips"]])
json.dump(out, sys.stdout)
`

type shapelyCase struct {
	Outline  [][2]float64   `json:"outline"`
	Low      float64        `json:"low"`
	High     float64        `json:"high"`
	Openings [][][2]float64 `json:"openings"`
	Strips   [][][2]float64 `json:"strips"`
}

func shapelyCases(w *survey.Wall, face string, strips Strips) (shapelyCase, []Strip) {
	c := shapelyCase{Low: float64(w.Skirting), High: 1e6, Openings: [][][2]float64{}}
	switch {
	case w.Dado > 0 && face == w.ID:
		c.Low = float64(w.Dado)
	case w.Dado > 0:
		c.High = float64(w.Dado - w.DadoRail)
	}
	for _, p := range w.Outline {
		c.Outline = append(c.Outline, [2]float64{p.X, p.Y})
	}
	for _, o := range w.Openings {
		var ring [][2]float64
		for _, p := range o.Outline {
			ring = append(ring, [2]float64{p.X, p.Y})
		}
		c.Openings = append(c.Openings, ring)
	}
	h := float64(w.Height)
	for i, s := range strips.Strips {
		x := [4]float64{float64(s.Foot[0]), float64(s.Foot[1]), float64(s.Head[1]), float64(s.Head[0])}
		if i == 0 {
			x[0], x[3] = -500, -500
		}
		if i == len(strips.Strips)-1 {
			x[1], x[2] = x[1]+500, x[1]+500
		}
		c.Strips = append(c.Strips, [][2]float64{{x[0], 0}, {x[1], 0}, {x[2], h}, {x[3], h}})
	}
	return c, strips.Strips
}

func TestAreasAgainstShapely(t *testing.T) {
	var cases []shapelyCase
	var want [][]Strip
	rooms := rapid.Custom(func(t *rapid.T) bool {
		j := anyRoom(t)
		s := measured(t, j)
		so, err := Divide(s, j, testCatalog())
		if err != nil {
			t.Fatal(err)
		}
		for _, g := range so.Groups {
			for _, strips := range g.Options[g.Chosen].Faces {
				_, w, f := s.FaceByID(strips.Face)
				c, list := shapelyCases(w, f.ID, strips)
				cases, want = append(cases, c), append(want, list)
			}
		}
		return true
	})
	for seed := range 200 {
		rooms.Example(seed)
	}
	input, err := json.Marshal(cases)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("/usr/bin/python3", "-c", shapely)
	cmd.Stdin = bytes.NewReader(input)
	output, err := cmd.Output()
	if err != nil {
		t.Fatalf("python3 with shapely: %v", err)
	}
	var areas [][]float64
	if err := json.Unmarshal(output, &areas); err != nil {
		t.Fatal(err)
	}
	strips := 0
	for i := range want {
		for k, s := range want[i] {
			strips++
			if d := math.Abs(areas[i][k]/1e6 - float64(s.Area)); d > 1e-6 {
				t.Errorf("case %d, strip %d: %v, shapely %v", i, k+1, s.Area, areas[i][k]/1e6)
			}
		}
	}
	if strips < 1000 {
		t.Errorf("only %d strips compared", strips)
	}
	t.Logf("%d strips on %d faces", strips, len(cases))
}
