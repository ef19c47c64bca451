// Package wall holds the papers one works from at a wall: setting-out drawings and
// method sheets.
package wall

import (
	"fmt"
	"slices"
	"strings"

	"scumble/draw"
	"scumble/job"
	"scumble/method"
	"scumble/plan"
	"scumble/setout"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/sheets/elevation"
	"scumble/sheets/pattern"
	"scumble/survey"
	"scumble/unit"
)

// SettingOut is every wall to scale with its marks, after the ways in which each
// run of strips could be divided.
func SettingOut(d *desk.Desk) (draw.Doc, error) {
	views := elevation.Walls(d.Plan.Job, d.Plan.Survey, d.Plan.SetOut)
	for i := range views {
		views[i] = inSections(d, views[i])
	}
	book := d.Book("Setting out")
	settingOutCover(d, book, views)
	for i := range d.Plan.SetOut.Groups {
		waysPage(d, book, &d.Plan.SetOut.Groups[i], views)
	}
	for _, v := range views {
		if len(v.Fields) > 0 {
			wallPage(d, book, v)
		}
	}
	return book.Doc("Walls to scale with cumulative marks, and the ways of dividing them"), nil
}

// Drawing is a wall as a file of its own.
type Drawing struct {
	Name string // path within the pack
	Make func(*desk.Desk) ([]byte, error)
}

// Drawings lists those of every wall: as a picture, and for a drawing program.
func Drawings(p *plan.Plan) []Drawing {
	var list []Drawing
	seen := map[string]int{}
	for _, v := range elevation.Walls(p.Job, p.Survey, p.SetOut) {
		name := v.FileName()
		if seen[name]++; seen[name] > 1 {
			name = fmt.Sprintf("%s-%d", name, seen[name])
		}
		list = append(list,
			Drawing{name + ".svg", func(d *desk.Desk) ([]byte, error) {
				return elevation.SVG(d.Fonts, inSections(d, v), drawn(d, 420, 297))
			}},
			Drawing{name + ".dxf", func(d *desk.Desk) ([]byte, error) { return elevation.DXF(inSections(d, v)) }})
	}
	return list
}

// drawn are the options of a drawing in a space w by h mm.
func drawn(d *desk.Desk, w, h float64) elevation.Options {
	own := d.Plan.Catalog.Defaults
	return elevation.Options{W: w, H: h, Imperial: imperial(d), Reach: survey.Reaches{
		Floor: unit.Length(own.ReachFloor.Likely), Steps: unit.Length(own.ReachSteps.Likely), Platform: unit.Length(own.ReachPlatform.Likely)}}
}

func imperial(d *desk.Desk) bool { return d.Plan.Job.Lengths == "imperial" }

// length prints a length in mm with its unit, feet and inches beside it if wanted.
func length(d *desk.Desk, l unit.Length) string {
	if imperial(d) {
		return l.String() + " (" + l.FeetInches() + ")"
	}
	return l.String()
}

// settingOutCover shows the job, how marks are read, and a list of the walls.
func settingOutCover(d *desk.Desk, book *drafting.Book, views []elevation.View) {
	fl := book.Part("", d.Upright())
	w, _ := d.Upright().Size()
	body := fl.Body()
	drafting.AddTitle(fl, "Setting out", fmt.Sprintf("%d walls in %d rooms, each drawn to scale on a page of its own.", len(views), len(d.Plan.Survey.Rooms)))
	elevation.Frieze(d.Fonts, views, elevation.FriezeOptions{Width: body.W, Left: body.X, Right: w - body.X - body.W}).Add(fl)
	drafting.AddNote(fl, "All walls in walking order, at one scale. "+pattern.Note)
	drafting.AddHead(fl, "How to read the marks")
	drafting.AddBody(fl, "Hook the tape once, at the blue dot, and read every mark from there. No mark is laid off from the mark before it, so a small slip stays small. "+
		"Make one row of marks above the skirting and one below the ceiling, each with its own figures, and join them with a straightedge or a line. Tape to the line on the side that keeps the strip its letter.")
	key(d, fl)
	drafting.AddNotice(d.Fonts, fl, drafting.Notice{Shape: drafting.CautionShape, Title: "Measure each wall once more before marking",
		Text: "If a wall is longer or shorter than its page says, correct the job and print the page again. Sharing the difference out by eye moves every strip after it."})
	if slices.ContainsFunc(d.Plan.Survey.Rooms, highRoom) {
		drafting.AddNotice(d.Fonts, fl, drafting.Notice{Shape: drafting.CautionShape, Title: "Above the dotted lines work from a stand",
			Text:   "Keep both marks of a joint within reach without leaning out; move the stand instead. Nobody works beneath.",
			Defers: "The stand's own instructions and the rules of the place come first."})
	}
	wallList(d, fl, views)
}

// highRoom reports whether a wall of a room is out of reach from the floor.
func highRoom(r survey.Room) bool {
	for _, w := range r.Walls {
		for _, f := range w.Faces {
			for _, reach := range f.Reach {
				if reach.From != "floor" && reach.Area > 0 {
					return true
				}
			}
		}
	}
	return false
}

// key explains the signs of the drawings, each drawn as it stands there.
func key(d *desk.Desk, fl *draw.Flow) {
	mid := func(b draw.Box) float64 { return b.Y + b.H/2 }
	signs := []struct {
		words string
		sign  func(b draw.Box) []draw.Item
	}{
		{"the datum: hook the tape here", func(b draw.Box) []draw.Item {
			return []draw.Item{draw.Line(b.X+3, mid(b), b.X+b.W, mid(b), drafting.Fine()), drafting.Datum(b.X+3, mid(b))}
		}},
		{"a joint between strips, or between pieces laid and worked as one", func(b draw.Box) []draw.Item {
			return []draw.Item{draw.Line(b.X, mid(b), b.X+b.W, mid(b), drafting.Chalk())}
		}},
		{"strip of the first or of the second ground colour", func(b draw.Box) []draw.Item {
			s := drafting.Letters().InBold()
			var items []draw.Item
			for i, letter := range []string{"A", "B"} {
				x := b.X + 2.2 + 6*float64(i)
				items = append(items, draw.Circle(x, mid(b), 2).Stroked(drafting.Fine()), draw.Label(x, mid(b)+s.CapHeight()/2, letter, s, draw.Centre))
			}
			return items
		}},
		{"the same strip goes on round the corner by this much", func(b draw.Box) []draw.Item {
			return []draw.Item{draw.Line(b.X, mid(b), b.X+b.W, mid(b), drafting.Faint().Dashed(1.8, 0.8))}
		}},
		{"above this one works from steps, a platform or a scaffold", func(b draw.Box) []draw.Item {
			return []draw.Item{draw.Line(b.X, mid(b), b.X+b.W, mid(b), drafting.Doubt(drafting.Ink))}
		}},
		{"a corner out of plumb, drawn far more than it leans", func(b draw.Box) []draw.Item {
			return []draw.Item{draw.Line(b.X+5, b.Y+b.H, b.X+7, b.Y, drafting.Plumb()), draw.Line(b.X+5, b.Y+b.H, b.X+5, b.Y, drafting.Edge())}
		}},
	}
	side := func(from, to int) drafting.Side {
		return drafting.Side{Fill: func(fl *draw.Flow) {
			t := draw.Table{Columns: []draw.Column{{Width: 12}, {Flex: 1}}, Style: drafting.Small(), NoHead: true, RowRule: draw.Ink(drafting.RuleWidth, drafting.Pale)}
			for _, s := range signs[from:to] {
				t.Rows = append(t.Rows, draw.Row{Cells: []draw.Cell{{Draw: s.sign}, {Text: s.words}}})
			}
			fl.Table(t)
		}}
	}
	fl.Space(1.5)
	drafting.AddSides(d.Fonts, fl, 8, side(0, 3), side(3, len(signs)))
	fl.Space(1.5)
}

// wallList names every wall with its finish and how it is set out.
func wallList(d *desk.Desk, fl *draw.Flow, views []elevation.View) {
	drafting.AddHead(fl, "The walls")
	t := drafting.Table([]draw.Column{drafting.Words("Wall", 1.6), drafting.Words("Finish", 1.5), drafting.Words("Set out in", 1.6), drafting.Figures("Field", "m²")})
	room := ""
	for _, v := range views {
		if v.Room.Name != room {
			room = v.Room.Name
			t.Rows = append(t.Rows, drafting.GroupRow(room))
		}
		if len(v.Fields) == 0 {
			t.Rows = append(t.Rows, drafting.Row(v.Wall.Name, "not decorated", "", ""))
		}
		for _, f := range v.Fields {
			t.Rows = append(t.Rows, drafting.Row(desk.WallName(f.Face.ID), finishName(f), divided(f), f.Face.Net.Fixed(2)))
		}
	}
	fl.Table(t)
}

func finishName(f elevation.Field) string {
	if f.Finish == nil {
		return ""
	}
	return f.Finish.Name
}

// divided says in a few words what a field is set out in.
func divided(f elevation.Field) string {
	switch {
	case f.Strips != nil:
		return count(len(f.Strips.Strips), "strip", "strips")
	case f.SetOut == nil:
		return ""
	case len(f.SetOut.Rows) > 0:
		return count(len(f.SetOut.Rows), "row", "rows")
	case len(f.SetOut.Sections) > 1:
		return count(len(f.SetOut.Sections), "section", "sections")
	}
	return "one piece"
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

var ways = map[string]string{
	"round":     "Round the corners",
	"each-wall": "Wall by wall, a joint in every corner",
	"feature":   "From the feature wall",
}

// waysPage shows the ways of dividing one run of walls, best first.
func waysPage(d *desk.Desk, book *drafting.Book, g *setout.Group, views []elevation.View) {
	fl := book.Part(g.Room+", strips", d.Upright())
	run := runOf(g, views)
	name := g.Finish
	if f := d.Finish(g.Finish); f != nil {
		name = f.Name
	}
	drafting.AddTitle(fl, g.Room+": ways of dividing the strips", fmt.Sprintf("%s, %s along the walls. Wanted %s mm wide, from %s to %s; a piece under %s mm beside a corner or an opening counts as a sliver.",
		name, length(d, g.Length), g.Want.Wanted.MM(), g.Want.Narrowest.MM(), g.Want.Widest.MM(), g.Want.Sliver.MM()))
	for i := range g.Options {
		o := &g.Options[i]
		fl.Keep(func() {
			way := ways[o.Way]
			switch {
			case o.Way == "each-wall" && len(g.Faces) == 1:
				way = "Evenly from end to end"
			case o.Way == "round" && len(g.Faces) == 1:
				way = "Carried on from one end"
			case way == "":
				way = o.Way
			}
			head := fmt.Sprintf("%d  %s: %d strips, %s mm on average", i+1, way, o.Count, unit.Figure(float64(o.Width), 1))
			switch {
			case i == g.Chosen && i > 0:
				head += ", used here as asked"
			case i == g.Chosen:
				head += ", used here"
			}
			drafting.AddHead(fl, head)
			said := func(fl *draw.Flow) {
				if o.Summary != "" {
					drafting.AddBody(fl, o.Summary)
				}
				drafting.AddFacts(fl, 32, wayFacts(d, o)...)
			}
			flat := elevation.Unrolled(d.Fonts, run, *o, fl.Body().W)
			if fl.Body().W-flat.W > 80 {
				drafting.AddSides(d.Fonts, fl, columnGap, drafting.Side{Width: flat.W, Fill: flat.Add}, drafting.Side{Fill: said})
				return
			}
			flat.Add(fl)
			said(fl)
		})
		fl.Space(3)
	}
	drafting.AddNote(fl, "Ranked by a sum of what each way costs, the smallest first. The weights in it are our own and can be changed; they have no published source.")
	notices(d, fl, d.Plan.SetOut.Warnings, g.Room)
}

// runOf are the walls of a group in its order.
func runOf(g *setout.Group, views []elevation.View) []elevation.View {
	var run []elevation.View
	for _, id := range g.Faces {
		for _, v := range views {
			if slices.ContainsFunc(v.Fields, func(f elevation.Field) bool { return f.Face.ID == id }) {
				run = append(run, v)
			}
		}
	}
	return run
}

// wayFacts say what one way of dividing costs.
func wayFacts(d *desk.Desk, o *setout.Option) []drafting.Fact {
	facts := []drafting.Fact{{Name: "Tape and marking", Value: unit.Figure(o.Joints.Metres(), 1) + " m along the joints; marking " + o.Marking.Words(1, "h")}}
	var costs []string
	for _, c := range o.Costs {
		if c.Amount > -0.005 && c.Amount < 0.005 {
			continue
		}
		text := c.What
		if c.Where != "" {
			text += " (" + c.Where + ")"
		}
		costs = append(costs, text+" "+unit.Figure(c.Amount, 2))
	}
	if len(costs) == 0 {
		costs = []string{"nothing: as wanted, no sliver, no clash"}
	}
	return append(facts, drafting.Fact{Name: "Cost " + unit.Figure(o.Cost, 2), Value: strings.Join(costs, "; ")})
}

// notices sets the warnings whose wall or room has this name, or lies in it.
func notices(d *desk.Desk, fl *draw.Flow, warnings []job.Warning, name string) {
	for _, w := range warnings {
		if w.Name != name && !strings.HasPrefix(w.Name, name+",") {
			continue
		}
		shape := drafting.CautionShape
		if w.Hold {
			shape = drafting.HoldShape
		}
		drafting.AddNotice(d.Fonts, fl, drafting.Notice{Shape: shape, Title: w.What, Text: w.Do})
	}
}

// markStep is the step in which the strips of a face are marked, or nil.
func markStep(d *desk.Desk, face string) *method.Step {
	for i := range d.Plan.Method.Faces {
		if d.Plan.Method.Faces[i].ID != face {
			continue
		}
		for s := range d.Plan.Method.Faces[i].Steps {
			if step := &d.Plan.Method.Faces[i].Steps[s]; step.Kind == method.Mark {
				return step
			}
		}
	}
	return nil
}
