package setout

import (
	"fmt"
	"testing"

	"scumble/job"
)

func wallOf(technique string, length float64, openings ...job.Opening) *job.Job {
	return &job.Job{Finishes: testFinishes(), Rooms: []job.Room{{Name: "R", Height: mm(2500), Walls: []job.Wall{
		{Name: "W", Length: mm(length), Finish: technique, Openings: openings}}}}}
}

// 5000 in sections of 1000 (at most 1200): even cuts at 1000, 2000, 3000, 4000. The
// door's left edge at 1100 is near enough for the first, its right edge at 2000 is
// the second; 3000 and 4000 stay.
func TestSectionsSnapToOpenings(t *testing.T) {
	door := job.Opening{Name: "Door", Left: mm(1100), Sill: mm(0), Width: mm(900), Height: mm(2000)}
	j := wallOf("weave", 5000, door)
	j.Finishes[0].Technique = "drag"
	c := testCatalog()
	c.Techniques["drag"].Section.Width = fig(900, 1000, 1200, "mm")
	so, err := Divide(measured(t, j), j, c)
	if err != nil {
		t.Fatal(err)
	}
	got := ""
	for _, s := range so.Faces[0].Sections {
		got += fmt.Sprintf("%.0f-%.0f %.2f; ", float64(s.X0), float64(s.X1), float64(s.Area))
	}
	if want := "0-1100 2.75; 1100-2000 0.45; 2000-3000 2.50; 3000-4000 2.50; 4000-5000 2.50; "; got != want {
		t.Errorf("sections\n%s, want\n%s", got, want)
	}
	kinds := ""
	for _, b := range so.Faces[0].Breaks {
		kinds += fmt.Sprintf("%.0f %s; ", float64(b.X), b.Kind)
	}
	if want := "0 corner; 1000 grid; 1100 opening; 2000 opening; 3000 grid; 4000 grid; 5000 corner; "; kinds != want {
		t.Errorf("breaks %s, want %s", kinds, want)
	}
}

// Sections of a metre each way on 2 x 2.5 m: two columns of three, worked down.
func TestSquareSections(t *testing.T) {
	_, so := divided(t, wallOf("paper", 2000))
	s := so.Faces[0].Sections
	if len(s) != 6 || s[0].Y1 != 2500 || s[2].Y0 != 0 || s[3].X0 != 1000 {
		t.Errorf("%+v", s)
	}
	near(t, "area", float64(s[0].Area), 2.5/3, 1e-9)
}

// 4000 at motifs of 200 and rows of 100 on 2500: 20 motifs, 25 rows, every second
// row moved by half a motif.
func TestRows(t *testing.T) {
	_, so := divided(t, wallOf("comb", 4000))
	r := so.Faces[0].Rows
	if len(r) != 25 || r[0] != (Row{Y0: 2400, Y1: 2500, Start: 0, Motif: 200, Count: 20}) || r[1] != (Row{Y0: 2300, Y1: 2400, Start: -100, Motif: 200, Count: 21}) || r[2].Start != 0 {
		t.Errorf("%d rows: %+v", len(r), r[:3])
	}
}

// 10 m2, sheets of 400 x 600 lapped 30: 1.2 times over are 50 sheets, covering
// alone 10 / (0.37 x 0.57) = 47.4; used twice, 25 are bought.
func TestSheets(t *testing.T) {
	_, so := divided(t, wallOf("paper", 4000))
	if got, want := *so.Faces[0].Sheets, (Sheets{Good: "greaseproof", Across: 11, Up: 5, Layers: 1.2, Count: 50, Need: 25, Width: 400, Height: 600, Overlap: 30}); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
}

// A gable: columns have heights of their own, and the sections make up the field.
func TestSectionsUnderASlope(t *testing.T) {
	j := wallOf("paper", 4000)
	j.Rooms[0].Walls[0].Ridge = &job.Ridge{At: mm(2000), Height: mm(4500)}
	s, so := divided(t, j)
	sum, top := 0.0, 0.0
	for _, x := range so.Faces[0].Sections {
		sum += float64(x.Area)
		top = max(top, float64(x.Y1))
	}
	near(t, "sections", sum, float64(s.Rooms[0].Walls[0].Faces[0].Net), 1e-9)
	near(t, "top", top, 4500, 1e-6)
}
