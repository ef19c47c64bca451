package drawing_test

import (
	"encoding/xml"
	"html/template"
	"io"
	"strings"
	"testing"

	"scumble/catalog"
	"scumble/examples"
	"scumble/job"
	"scumble/setout"
	"scumble/survey"
	"scumble/web/drawing"
)

func demo(t testing.TB) (*survey.Survey, *setout.SetOut) {
	t.Helper()
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	f, _ := job.Read("x", examples.Bellwether)
	s, problems := survey.Measure(f.Job, survey.Reaches{})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	so, err := setout.Divide(s, f.Job, c)
	if err != nil {
		t.Fatal(err)
	}
	return s, so
}

// wellFormed reads a drawing to its end as XML and counts its elements by name.
func wellFormed(t testing.TB, what string, svg template.HTML) map[string]int {
	t.Helper()
	count := map[string]int{}
	d := xml.NewDecoder(strings.NewReader(string(svg)))
	for {
		token, err := d.Token()
		if err == io.EOF {
			return count
		}
		if err != nil {
			t.Fatalf("%s: %v\n%s", what, err, svg)
		}
		if e, ok := token.(xml.StartElement); ok {
			count[e.Name.Local]++
			for _, a := range e.Attr {
				if a.Name.Local == "style" || strings.HasPrefix(a.Name.Local, "on") {
					t.Errorf("%s: attribute %s, which the policy of the pages forbids", what, a.Name.Local)
				}
			}
		}
	}
}

func TestEveryWallIsDrawn(t *testing.T) {
	s, so := demo(t)
	for r := range s.Rooms {
		for w := range s.Rooms[r].Walls {
			wall := &s.Rooms[r].Walls[w]
			e := drawing.Elevation{Wall: wall, Name: "e", Width: 880, Highest: 430, Picture: "/p?a=1&b=2", Dimensions: true, Drag: true, Sections: true, Label: wall.ID,
				Reach: []drawing.Height{{MM: 2000, Words: "steps above"}}}
			for f := range wall.Faces {
				set, _, strips := so.Of(wall.Faces[f].ID)
				e.Fields = append(e.Fields, drawing.Field{Face: &wall.Faces[f], SetOut: set, Strips: strips})
				if strips != nil {
					for _, m := range strips.Marks {
						if !strings.Contains(string(e.Draw()), ">"+m.Foot.MM()+"<") && len(strips.Marks) < 12 {
							t.Errorf("%s: mark %s is not lettered", wall.ID, m.Foot.MM())
						}
					}
				}
			}
			for _, width := range []float64{350, 880} {
				e.Width = width
				count := wellFormed(t, wall.ID, e.Draw())
				if count["g"] < len(wall.Openings) || count["image"] != min(1, len(wall.Faces)) {
					t.Errorf("%s: %v", wall.ID, count)
				}
			}
		}
	}
}

func TestFriezeTellsStatesWithoutColour(t *testing.T) {
	s, _ := demo(t)
	drawn := map[string]string{}
	for _, state := range []string{"measured", "chosen", "setout", "work", "drying", "done"} {
		wall := drawing.FriezeWall{ID: "a/b", Title: `<b>"`, Survey: &s.Rooms[1].Walls[0], State: state, Words: state, Share: 0.5, Picture: "/p"}
		if state == "measured" {
			wall.Picture = ""
		}
		svg := drawing.Frieze([]drawing.FriezeWall{wall}, 0.03, 2720, "f")
		wellFormed(t, state, svg)
		shapes := strings.ReplaceAll(string(svg), state, "")
		for other, known := range drawn {
			if known == shapes {
				t.Errorf("%s looks like %s", state, other)
			}
		}
		drawn[state] = shapes
	}
}

func TestAWallThatCannotBeMeasuredHasItsPlace(t *testing.T) {
	svg := drawing.Frieze([]drawing.FriezeWall{{ID: "a/b", Title: "A", State: "measured", Wrong: true}}, 0.03, 2720, "f")
	wellFormed(t, "unknown", svg)
	if !strings.Contains(string(svg), "i-tri") || !strings.Contains(string(svg), "wrong") {
		t.Error(svg)
	}
}

func TestRun(t *testing.T) {
	s, so := demo(t)
	group := so.Groups[0]
	var walls []*survey.Wall
	for _, id := range group.Faces {
		_, wall, _ := s.FaceByID(id)
		walls = append(walls, wall)
	}
	for _, o := range group.Options {
		count := wellFormed(t, o.Summary, drawing.Run(walls, o.Faces, 600, "r"))
		if count["path"] < o.Count {
			t.Errorf("%d strips, %d paths", o.Count, count["path"])
		}
	}
}

func FuzzTitle(f *testing.F) {
	f.Add("North", "dry")
	f.Fuzz(func(t *testing.T, title, words string) {
		svg := string(drawing.Frieze([]drawing.FriezeWall{{ID: title, Title: title, Href: title, Words: words, Beside: words, State: "chosen"}}, 0.03, 2000, "f"))
		if strings.Count(svg, "<") != strings.Count(svg, ">") && !strings.ContainsAny(title+words, "<>") || strings.Contains(svg, "<script") {
			t.Error(svg)
		}
	})
}

// TestEveryRoomIsDrawnFromAbove: every wall is a link with its name, and what people typed
// stays text.
func TestEveryRoomIsDrawnFromAbove(t *testing.T) {
	f, _ := job.Read("x", examples.Bellwether)
	for r := range f.Job.Rooms {
		room := &f.Job.Rooms[r]
		d := drawing.Floor{Plan: survey.PlanOf(room), Width: 348, Highest: 330, Label: "<b>" + room.Name}
		for w := range room.Walls {
			d.Walls = append(d.Walls, drawing.FloorWall{Name: room.Walls[w].Name + "<script>", Href: "/x?a=1&b=2", Here: w == 0})
		}
		svg := d.Draw()
		count := wellFormed(t, room.Name, svg)
		if count["a"] != len(room.Walls) || count["title"] != len(room.Walls) || count["script"] > 0 {
			t.Errorf("%s: %v", room.Name, count)
		}
		if strings.Count(string(svg), "aria-current") != 1 {
			t.Errorf("%s: not one wall is at hand", room.Name)
		}
	}
	if svg := (drawing.Floor{Plan: survey.PlanOf(&job.Room{}), Width: 348, Highest: 330}).Draw(); svg != "" {
		t.Errorf("a room without walls is drawn as %s", svg)
	}
}
