// Package measure is the place where rooms and walls are measured: figures in walking
// order beside the wall they belong to.
package measure

import (
	_ "embed"
	"fmt"
	"html/template"
	"maps"
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/survey"
	"scumble/unit"
	"scumble/web/board"
	"scumble/web/drawing"
	"scumble/web/frame"
)

//go:embed measure.html
var page string

// Place is the page.
func Place() *frame.Place {
	return &frame.Place{Slug: "measure", Name: "Measure", Page: page, Walled: true, Show: show}
}

type view struct {
	Wide, Narrow template.HTML
	Caption      string
	Figures      []frame.Field
	More         []frame.Field
	Openings     []opening
	Kinds        []string
	Room         *room
	Rooms        []string
	Comes        []string
	Corners      []corner
	OutlineAt    string
	OutlineWrong []string         // with the outline as a whole
	Turned       []survey.Written // the corners of a wall that is not drawn corner by corner yet
	Heights      []string         // fields that mean nothing for one that is
	Lean         bool             // it leans out, so it cannot be
	Floor        template.HTML
	FloorSays    []string
	OpeningsAt   string
	WallPath     string
	Next         string // name offered for a new room
	Facts        []frame.Field
}

type opening struct {
	Path, Title string
	Fields      []frame.Field
	Paint       []side
	Last        bool
}

type side struct {
	Name, Words string
	On          bool
}

// corner is a corner of a wall that is drawn corner by corner.
type corner struct {
	Path   string
	Number int
	Fields []frame.Field
	Wrong  []string
	Next   string          // the path at which a corner after this one is added
	Middle *survey.Written // where it begins; nil while it cannot be said
	Out    bool            // it can be taken out
}

type room struct {
	Path, Name      string
	Walls           []roomWall
	Fields          []frame.Field
	NextWall        string
	First, Last     bool
	Index           int
	ClosedOn, Empty bool
}

type roomWall struct {
	Path, Href  string
	Name        frame.Field
	Length      frame.Field
	Here        bool
	First, Last bool
	Index       int
	Number      int
}

func show(s *frame.Sheet) (any, error) {
	v := &view{Kinds: []string{"door", "window", "hatch", "niche", "fireplace", "fixture"}}
	for _, r := range s.Board.Job.Rooms {
		v.Rooms = append(v.Rooms, r.Name)
	}
	v.Next = unused("Room", v.Rooms)
	if s.Wall == nil {
		if n := len(s.Board.Job.Rooms); n > 0 {
			v.Room = roomOf(s, n-1)
		}
		return v, nil
	}
	v.WallPath, v.OpeningsAt = s.Wall.Path, s.Wall.Path+".openings"
	v.Figures, v.More = figures(s), more(s)
	outlined(s, v)
	v.Openings = openings(s)
	v.Room = roomOf(s, s.Wall.RoomIndex)
	v.Facts = facts(s.Board)
	above(s, v)
	draw(s, v)
	comes(s, v)
	return v, nil
}

// first is the index of the first wall of a room.
func first(s *frame.Sheet, room int) int {
	return slices.IndexFunc(s.Walls, func(w board.Wall) bool { return w.RoomIndex == room })
}

// unused is a name with a number that is not taken.
func unused(word string, taken []string) string {
	for n := len(taken) + 1; ; n++ {
		name := fmt.Sprintf("%s %d", word, n)
		if !slices.ContainsFunc(taken, func(t string) bool { return strings.EqualFold(t, name) }) {
			return name
		}
	}
}

// figures are those one walks through with a tape, in order.
func figures(s *frame.Sheet) []frame.Field {
	b, w := s.Board, s.Wall
	at := func(key, label string) frame.Field { return frame.FieldOf(b, w.Path+"."+key, label, "mm") }
	roomHeight := b.Typed(fmt.Sprintf("rooms[%d].height", w.RoomIndex))
	left := at("height", "Height at the left").Lettered("b")
	if left.Typed == "" && roomHeight != "" {
		left = left.Noted("as the room: " + roomHeight)
	}
	var out []frame.Field
	if len(w.Typed.Outline) == 0 {
		out = append(out, at("length", "Length").Lettered("a"), left)
		right := at("height-right", "Height at the right").Lettered("c")
		if right.Typed == "" {
			right = right.Noted("leave empty when it is as at the left")
		}
		out = append(out, right)
	} else if w.Typed.LeanLeft.Text == "" && w.Typed.LeanRight.Text == "" {
		return nil // an outline tells how the ends lean
	}
	return append(out, at("lean-left", "Left corner out of plumb").Noted("at the top; + is into this wall"), at("lean-right", "Right corner out of plumb"))
}

// more are the figures that few walls need.
func more(s *frame.Sheet) []frame.Field {
	b, w := s.Board, s.Wall
	at := func(key, label, unit string) frame.Field { return frame.FieldOf(b, w.Path+"."+key, label, unit) }
	out := []frame.Field{at("name", "Name of the wall", "")}
	if len(w.Typed.Outline) == 0 {
		out = append(out, at("ridge.height", "Ridge of a gable", "mm").Lettered("d"), at("ridge.at", "Ridge, from the left", "mm"))
	}
	room := fmt.Sprintf("rooms[%d].", w.RoomIndex)
	inherit := func(f frame.Field, key string) frame.Field {
		if typed := b.Typed(room + key); f.Typed == "" && typed != "" {
			f.Note = "as the room: " + typed
		}
		return f
	}
	out = append(out,
		inherit(at("skirting", "Skirting", "mm"), "skirting"),
		inherit(at("cornice", "Cornice", "mm"), "cornice"),
		at("dado.height", "Dado rail, top above the floor", "mm"),
		at("dado.rail", "Dado rail, its width", "mm"),
		at("corner", "What follows this wall", "").From(frame.Choice{Words: "as usual"}, frame.Choice{Value: "internal", Words: "inside corner"}, frame.Choice{Value: "external", Words: "outside corner"}, frame.Choice{Value: "open", Words: "nothing, it ends"}),
		at("substrate", "What it is made of", "").From(substrates(b.Plan.Catalog, "as the room")...),
		at("outside", "The open air is behind it", "").From(frame.Choice{Words: "no"}, frame.Choice{Value: "true", Words: "yes"}),
		at("surface", "Surface of a cold outside wall", "°C"),
		at("seen", "How much it is seen, 1 to 5", "number").Noted("5 is the first thing seen; 3 when left empty"),
	)
	return out
}

// facts are the fields of the job itself.
func facts(b *board.Board) []frame.Field {
	at := func(key, label string) frame.Field {
		f := frame.FieldOf(b, key, label, "")
		f.Wide = true
		return f
	}
	return []frame.Field{at("name", "Name"), at("place", "Place"), at("client", "Client"), at("contractor", "Contractor"), at("reference", "Reference"),
		at("date", "Date of the survey"), at("currency", "Currency, ISO 4217"),
		at("lengths", "Lengths on paper").From(frame.Choice{Words: "metric"}, frame.Choice{Value: "imperial", Words: "feet and inches beside"}),
		at("paper", "Paper").From(frame.Choice{Words: "A4"}, frame.Choice{Value: "Letter", Words: "Letter"})}
}

func substrates(c *catalog.Catalog, none string) []frame.Choice {
	out := []frame.Choice{{Words: none}}
	for _, id := range slices.Sorted(maps.Keys(c.Substrates)) {
		out = append(out, frame.Choice{Value: id, Words: c.Substrates[id].Name})
	}
	return out
}

// corners are the fields of a wall that is drawn corner by corner.
func corners(b *board.Board, w *board.Wall) []corner {
	var out []corner
	for i := range w.Typed.Outline {
		at := fmt.Sprintf("%s.outline[%d]", w.Path, i)
		c := corner{Path: at, Number: i + 1, Next: fmt.Sprintf("%s.outline:%d", w.Path, i+1), Out: len(w.Typed.Outline) > 3, Wrong: frame.WrongAt(b, at),
			Fields: []frame.Field{frame.FieldOf(b, at+".x", "From the left", "mm"), frame.FieldOf(b, at+".y", "Above the floor", "mm")}}
		if middle, ok := survey.Midway(w.Typed.Outline, i); ok {
			c.Middle = &middle
		}
		out = append(out, c)
	}
	return out
}

// outlined offers to draw a wall corner by corner, or shows its corners.
func outlined(s *frame.Sheet, v *view) {
	w := s.Wall
	v.OutlineAt = w.Path + ".outline"
	v.OutlineWrong = frame.WrongAt(s.Board, v.OutlineAt)
	v.Corners = corners(s.Board, w)
	if len(v.Corners) > 0 {
		return
	}
	v.Turned, _ = survey.Outlined(&s.Board.Job.Rooms[w.RoomIndex], w.Index)
	v.Lean = w.Typed.LeanLeft.Value < 0
	for _, key := range []string{"length", "height", "height-right", "ridge.at", "ridge.height", "lean-left", "lean-right"} {
		if s.Typed(w.Path+"."+key) != "" {
			v.Heights = append(v.Heights, w.Path+"."+key)
		}
	}
}

func openings(s *frame.Sheet) []opening {
	var out []opening
	for i, typed := range s.Wall.Typed.Openings {
		at := fmt.Sprintf("%s.openings[%d]", s.Wall.Path, i)
		f := func(key, label string) frame.Field { return frame.FieldOf(s.Board, at+"."+key, label, "mm") }
		o := opening{Path: at, Title: typed.Name, Last: i == len(s.Wall.Typed.Openings)-1}
		if o.Title == "" {
			o.Title = typed.Kind
		}
		o.Fields = []frame.Field{f("left", "From the left"), f("sill", "Sill above the floor"), f("width", "Width"), f("height", "Height")}
		if typed.Shape == "arch" {
			o.Fields = append(o.Fields, f("rise", "Rise of the arch").Noted("half the width when left empty"))
		}
		o.Fields = append(o.Fields, f("reveal", "Depth of the reveal"),
			frame.FieldOf(s.Board, at+".name", "Name", ""),
			frame.FieldOf(s.Board, at+".kind", "Kind", "").From(choices("door", "window", "hatch", "niche", "fireplace", "fixture")...),
			frame.FieldOf(s.Board, at+".shape", "Shape", "").From(frame.Choice{Words: "rectangle"}, frame.Choice{Value: "arch", Words: "arch"}, frame.Choice{Value: "round", Words: "round"}, frame.Choice{Value: "outline", Words: "corner by corner"}))
		for _, known := range []side{{"sides", "sides", false}, {"head", "head", false}, {"sill", "sill", false}} {
			known.On = slices.Contains(typed.Paint, known.Name)
			o.Paint = append(o.Paint, known)
		}
		out = append(out, o)
	}
	return out
}

func choices(words ...string) []frame.Choice {
	var out []frame.Choice
	for _, w := range words {
		out = append(out, frame.Choice{Value: w, Words: w})
	}
	return out
}

func roomOf(s *frame.Sheet, index int) *room {
	b := s.Board
	typed := &b.Job.Rooms[index]
	at := fmt.Sprintf("rooms[%d]", index)
	f := func(key, label, unit string) frame.Field { return frame.FieldOf(b, at+"."+key, label, unit) }
	r := &room{Path: at, Name: typed.Name, Index: index, First: index == 0, Last: index == len(b.Job.Rooms)-1, ClosedOn: typed.Closed}
	var names []string
	for i := range typed.Walls {
		path := fmt.Sprintf("%s.walls[%d]", at, i)
		wall := roomWall{Path: path, Index: i, Number: i + 1, First: i == 0, Last: i == len(typed.Walls)-1, Here: s.Wall != nil && s.Wall.Path == path,
			Name: frame.FieldOf(b, path+".name", "Name of wall "+fmt.Sprint(i+1), ""), Length: frame.FieldOf(b, path+".length", "Length of wall "+fmt.Sprint(i+1), "mm")}
		wall.Href = s.Walk()[first(s, index)+i].Href
		names = append(names, typed.Walls[i].Name)
		r.Walls = append(r.Walls, wall)
	}
	r.Empty = len(r.Walls) == 0
	r.NextWall = unused("Wall", names)
	r.Fields = []frame.Field{f("name", "Name of the room", ""), f("height", "Floor to ceiling", "mm"), f("skirting", "Skirting", "mm"), f("cornice", "Cornice", "mm"),
		f("substrate", "What the walls are made of", "").From(substrates(b.Plan.Catalog, "not said yet")...),
		f("old", "What is on them now", ""), f("floor", "Floor protected along the walls", "mm").Noted("1 m when left empty"),
		f("climate.temp", "Air of this room, temperature", "°C"), f("climate.humidity", "Air of this room, humidity", "%"),
		f("from", "No work here before", "").Noted("a day such as 2027-03-08")}
	return r
}

// above draws the room from above.
func above(s *frame.Sheet, v *view) {
	index := s.Wall.RoomIndex
	typed := &s.Board.Job.Rooms[index]
	plan := survey.PlanOf(typed)
	d := drawing.Floor{Plan: plan, Width: 348, Highest: 330, Label: fmt.Sprintf("%s from above, %s in walking order", typed.Name, frame.Counted(len(plan.Walls), "wall", "walls"))}
	for i := range plan.Walls {
		step := s.Walk()[first(s, index)+i]
		d.Walls = append(d.Walls, drawing.FloorWall{Name: typed.Walls[i].Name, Href: step.Href, Here: step.Here})
	}
	v.Floor = d.Draw()
	v.FloorSays = []string{"No angle is measured, so every corner is drawn as a right angle."}
	if plan.Open {
		v.FloorSays = append(v.FloorSays, fmt.Sprintf("The room does not close: the end of the last wall and the beginning of the first lie %s mm apart, %s mm along the first wall and %s mm square to it. A length is wrong, or a corner is not square.", plan.Apart.MM(), plan.Along.MM(), plan.Across.MM()))
	}
	if len(plan.Guessed) > 0 {
		v.FloorSays = append(v.FloorSays, fmt.Sprintf("Dotted at 2 m, because a length is missing: %s.", strings.Join(plan.Guessed, ", ")))
	}
	if plan.Loose {
		v.FloorSays = append(v.FloorSays, "Where walls do not meet, the way between them is not measured; the gap is only drawn.")
	}
}

// letters on the drawing for the figures beside it.
var letters = []drawing.Key{{Letter: "a", Of: "length"}, {Letter: "b", Of: "left"}, {Letter: "c", Of: "right"}, {Letter: "d", Of: "ridge"}}

func draw(s *frame.Sheet, v *view) {
	w := s.Wall.Survey
	if w == nil {
		v.Caption = "The wall is drawn when its figures fit. What was typed is kept."
		return
	}
	e := drawing.Elevation{Wall: w, Name: "w", Width: 880, Highest: 430, Dimensions: true, Keys: letters, Drag: true, Wrong: len(s.Wall.Problems) > 0,
		Reach: stands(s.Board.Plan.Catalog, w), Label: label(s.Wall, w)}
	if e.Corners = survey.Numbered(s.Wall.Typed); len(e.Corners) > 0 {
		e.Keys = nil // its figures are those of its corners
	}
	v.Wide = e.Draw()
	e.Name, e.Width, e.Highest = "n", 350, 300
	v.Narrow = e.Draw()
	v.Caption = "Measured lines are solid. Openings can be dragged, or moved with the arrow keys."
}

// label says the elevation in words.
func label(w *board.Wall, s *survey.Wall) string {
	text := fmt.Sprintf("Elevation of %s: %s m long, %s m high", w.Title(), frame.Metres(s.Length), frame.Metres(s.Height))
	for _, o := range s.Openings {
		text += fmt.Sprintf("; %s %s by %s mm, %s mm from the left", o.Name, (o.Right - o.Left).MM(), (o.Head - o.Sill).MM(), o.Left.MM())
	}
	return text + "."
}

// stands are the heights above which a person needs something to stand on.
func stands(c *catalog.Catalog, w *survey.Wall) []drawing.Height {
	d := c.Defaults
	for _, h := range []drawing.Height{{MM: d.ReachPlatform.Likely, Words: "scaffold above"}, {MM: d.ReachSteps.Likely, Words: "platform above"}, {MM: d.ReachFloor.Likely, Words: "steps above"}} {
		if h.MM > 0 && h.MM < float64(w.Height)-50 {
			return []drawing.Height{h}
		}
	}
	return nil
}

// comes tells what the figures come to.
func comes(s *frame.Sheet, v *view) {
	w := s.Wall.Survey
	if w == nil {
		return
	}
	if len(w.Faces) == 0 {
		v.Comes = append(v.Comes, fmt.Sprintf("%.2f m² of wall, openings not taken out. What is painted follows when a finish is chosen.", w.Outline.AreaM2()))
	}
	for i := range w.Faces {
		face := &w.Faces[i]
		text := fmt.Sprintf("%s to paint", face.Net)
		if face.Reveals > 0 {
			text += fmt.Sprintf(" and %s of reveals", face.Reveals)
		}
		if len(w.Faces) > 1 {
			text = []string{"Above the rail: ", "Below the rail: "}[min(i, 1)] + text
		}
		v.Comes = append(v.Comes, text+fmt.Sprintf("; %s m of edges to cut in.", unit.Figure(float64(face.Edges.Total())/1000, 1)))
		var parts []string
		for _, r := range face.Reach {
			if r.Area > 0.005 {
				parts = append(parts, fmt.Sprintf("%s from %s", r.Area, map[string]string{"floor": "the floor", "steps": "steps", "platform": "a platform", "scaffold": "a scaffold"}[r.From]))
			}
		}
		if len(parts) > 0 {
			v.Comes = append(v.Comes, "Reached: "+strings.Join(parts, ", ")+".")
		}
	}
}
