//go:build oracle

package geom

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"
)

type oracleCase struct {
	Outer   [][2]float64   `json:"outer"`
	Holes   [][][2]float64 `json:"holes"`
	Bands   [][2]float64   `json:"bands"`
	Cuts    [][2]float64   `json:"cuts"`
	Leaning [][][2]float64 `json:"leaning"`
	Other   [][2]float64   `json:"other"`
	Seam    [][2]float64   `json:"seam"`
}

type oracleAnswer struct {
	Wall, Perimeter         float64
	Bands, Cuts, Leaning    []float64
	BandPieces              []int
	Left, Common, All, Seam float64
	Overlap, Inside         bool
}

func corners(p Polygon) [][2]float64 {
	list := make([][2]float64, len(p))
	for i, q := range p {
		list[i] = [2]float64{q.X, q.Y}
	}
	return list
}

func polygonFrom(list [][2]float64) Polygon {
	p := make(Polygon, len(list))
	for i, q := range list {
		p[i] = Point{q[0], q[1]}
	}
	return p
}

func randomCase(seed uint64) oracleCase {
	rnd := rand.New(rand.NewPCG(seed, 99))
	w := randomWall(seed)
	c := oracleCase{Outer: corners(w.outer), Holes: [][][2]float64{}}
	for _, hole := range w.holes {
		c.Holes = append(c.Holes, corners(hole))
	}
	b := w.outer.Bounds()
	n := 2 + rnd.IntN(12)
	for i := range n {
		x0, x1 := b.Min.X+b.Width()*float64(i)/float64(n), b.Min.X+b.Width()*float64(i+1)/float64(n)
		y0, y1 := b.Min.Y+b.Height()*float64(i)/float64(n), b.Min.Y+b.Height()*float64(i+1)/float64(n)
		c.Bands = append(c.Bands, [2]float64{x0, x1})
		c.Cuts = append(c.Cuts, [2]float64{y0, y1})
		lean := 400*rnd.Float64() - 200
		c.Leaning = append(c.Leaning, [][2]float64{{x0, b.Min.Y}, {x1, b.Min.Y}, {x1 + lean, b.Max.Y}, {x0 + lean, b.Max.Y}})
	}
	other := randomRing(rnd, 3+rnd.IntN(10))
	if seed%5 == 0 {
		other = RegularPolygon(Point{b.Width() / 2, b.Height() / 2}, 200+600*rnd.Float64(), 5, rnd.Float64())
	}
	c.Other = corners(other)
	c.Seam = [][2]float64{{b.Width() * rnd.Float64(), b.Min.Y - 50}, {b.Width() * rnd.Float64(), b.Max.Y + 50}}
	return c
}

// TestAgainstGEOS compares 300 random walls with openings, their strips, leaning
// strips, height bands, set operations and seams with GEOS by way of python3-shapely.
func TestAgainstGEOS(t *testing.T) {
	const walls = 300
	var in bytes.Buffer
	cases := make([]oracleCase, walls)
	for i := range cases {
		cases[i] = randomCase(uint64(i) + 1000)
		if err := json.NewEncoder(&in).Encode(cases[i]); err != nil {
			t.Fatal(err)
		}
	}
	run := exec.Command("/usr/bin/python3", "testdata/areas.py")
	run.Stdin, run.Stderr = &in, os.Stderr
	out, err := run.Output()
	if err != nil {
		t.Fatalf("python3-shapely (Debian) is needed for this test: %v", err)
	}
	answers := json.NewDecoder(bytes.NewReader(out))
	compared, worst := 0, 0.0
	for i, c := range cases {
		var want oracleAnswer
		if err := answers.Decode(&want); err != nil {
			t.Fatal(err)
		}
		same := func(what string, got, want float64) {
			t.Helper()
			compared++
			off := math.Abs(got-want) / max(want, 1e4) // relative, to a square decimetre at least
			worst = max(worst, off)
			if off > 1e-6 || math.IsNaN(got) {
				t.Errorf("wall %d: %s %v, GEOS has %v", i, what, got, want)
			}
		}
		compareWall(t, c, want, same)
	}
	t.Logf("%d figures compared, largest relative difference %.2g", compared, worst)
}

func compareWall(t *testing.T, c oracleCase, want oracleAnswer, same func(what string, got, want float64)) {
	t.Helper()
	var holes []Polygon
	for _, hole := range c.Holes {
		holes = append(holes, polygonFrom(hole))
	}
	outer, other := polygonFrom(c.Outer), polygonFrom(c.Other)
	r, err := NewRegion(outer, holes...)
	must(t, r, err)
	same("area", r.Area(), want.Wall)
	same("perimeter", r.Perimeter(), want.Perimeter)
	for i, band := range c.Bands {
		piece := ClipBand(r, band[0], band[1])
		same("band by sums", BandArea(r, band[0], band[1]), want.Bands[i])
		same("band by outline", piece.Area(), want.Bands[i])
		same("pieces of a band", float64(len(piece))*1e4, float64(want.BandPieces[i])*1e4)
	}
	for i, cut := range c.Cuts {
		same("cut by sums", CutArea(r, cut[0], cut[1]), want.Cuts[i])
		same("cut by outline", Cut(r, cut[0], cut[1]).Area(), want.Cuts[i])
	}
	for i, quad := range c.Leaning {
		piece, err := ClipConvex(r, polygonFrom(quad))
		same("leaning strip", must(t, piece, err).Area(), want.Leaning[i])
	}
	b := other.Region()
	left, err := Subtract(r, b)
	same("subtracted", must(t, left, err).Area(), want.Left)
	common, err := Intersect(r, b)
	same("intersected", must(t, common, err).Area(), want.Common)
	all, err := Union(r, b)
	same("united", must(t, all, err).Area(), want.All)
	seam := 0.0
	for _, piece := range (Segment{Point{c.Seam[0][0], c.Seam[0][1]}, Point{c.Seam[1][0], c.Seam[1][1]}}).Within(r) {
		seam += piece.Length()
	}
	same("seam", seam, want.Seam)
	if got := Overlap(outer, other); got != want.Overlap {
		t.Errorf("Overlap(%v, %v) = %v", outer, other, got)
	}
	if got := Inside(other, outer); got != want.Inside {
		t.Errorf("Inside(%v, %v) = %v", other, outer, got)
	}
}
