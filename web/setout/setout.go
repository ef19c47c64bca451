// Package setout is the place where a wall is set out: its strips and marks, the ways of
// dividing it ranked beside each other, sections, rows and sheets.
package setout

import (
	_ "embed"
	"fmt"
	"html/template"
	"strconv"
	"strings"

	stage "scumble/setout"
	"scumble/survey"
	"scumble/unit"
	"scumble/web/board"
	"scumble/web/drawing"
	"scumble/web/frame"
)

//go:embed setout.html
var page string

// Place is the page.
func Place() *frame.Place {
	return &frame.Place{Slug: "setout", Name: "Set out", Page: page, Walled: true, Show: show}
}

type view struct {
	Wide, Narrow template.HTML
	Why          string // why nothing can be set out
	Groups       []group
	Faces        []face
	Papers       []paper
	Leans        bool
	Lines        frame.Field
}

// group is a run of walls that is divided together.
type group struct {
	Finish       string
	Count, Width string
	Words        string
	Wants        []frame.Field
	Ways         []way
	AreaA, AreaB string
	Datum, Lean  string
	Marks        []mark
}

type way struct {
	Rank        int
	Name        string
	Summary     string
	Costs       string
	Run         template.HTML
	Chosen      bool
	SetWay, Way string // the field and the value that choose it
	SetFeature  string
	SetCount    string
	Count       int
	SetFirst    string
	First       string
	Feature     string
}

type mark struct{ Number, Foot, Head, Colours string }

// face is how one field of the wall is worked.
type face struct {
	Title    string
	Sections []section
	Rows     []string
	Sheets   string
	Breaks   string
}

type section struct{ Number, From, To, Height, Area string }

type paper struct{ Name, Href, What string }

func show(s *frame.Sheet) (any, error) {
	v := &view{}
	w := s.Wall
	switch {
	case w == nil:
		v.Why = "There is no wall yet. Measure one first."
		return v, nil
	case w.Survey == nil:
		v.Why = "The figures of this wall do not fit yet. They are mended under Measure."
		return v, nil
	case s.Board.Plan.SetOut == nil:
		v.Why = s.Waits("setting-out")
		return v, nil
	case len(w.Survey.Faces) == 0:
		v.Why = "This wall has no finish yet. It is chosen under Choose; then it can be set out."
	}
	draw(s, v)
	seen := map[int]bool{}
	for i := range w.Survey.Faces {
		f := &w.Survey.Faces[i]
		set, run, strips := s.Board.Plan.SetOut.Of(f.ID)
		if set == nil {
			continue
		}
		v.Faces = append(v.Faces, faceOf(f, set, len(w.Survey.Faces) > 1))
		if strips != nil && !seen[set.Group] {
			seen[set.Group] = true
			v.Groups = append(v.Groups, groupOf(s, run, strips))
		}
	}
	file := fileName(w)
	for _, p := range []paper{{"walls/" + file + ".svg", "", "The wall as a picture, to scale"}, {"walls/" + file + ".dxf", "", "For a drawing program, full size"}, {"setting-out.pdf", "", "Every wall on paper, to scale"}} {
		p.Href = s.Paper(p.Name)
		v.Papers = append(v.Papers, p)
	}
	return v, nil
}

// fileName is the name of the wall's papers without an ending, as the pack has it.
func fileName(w *board.Wall) string {
	return strings.Trim(strings.Map(func(r rune) rune {
		switch {
		case r == ' ' || r == '/' || r == ',' || r == '\'':
			return '-'
		}
		return r
	}, strings.ToLower(w.Room+"-"+w.Name)), "-")
}

func draw(s *frame.Sheet, v *view) {
	w := s.Wall.Survey
	e := drawing.Elevation{Wall: w, Name: "w", Width: 880, Highest: 460, Picture: s.PictureURL(s.Wall, frame.BoardScale, "D65"), Sections: true}
	e.Label = fmt.Sprintf("Setting-out of %s, %s by %s m", s.Wall.Title(), frame.Metres(w.Length), frame.Metres(w.Height))
	for i := range w.Faces {
		f := &w.Faces[i]
		set, _, strips := s.Board.Plan.SetOut.Of(f.ID)
		e.Fields = append(e.Fields, drawing.Field{Face: f, SetOut: set, Strips: strips})
		if strips != nil {
			e.Sections = false
			e.Label += fmt.Sprintf("; %s at %s", frame.Counted(len(strips.Marks), "mark", "marks"), positions(strips))
		}
	}
	v.Leans = w.LeanLeft != 0 || w.LeanRight != 0
	v.Wide = e.Draw()
	e.Name, e.Width, e.Highest = "n", 350, 320
	v.Narrow = e.Draw()
}

func positions(strips *stage.Strips) string {
	var out []string
	for _, m := range strips.Marks {
		out = append(out, m.Foot.MM())
	}
	return strings.Join(out, ", ") + " mm from the datum"
}

var wayNames = map[string]string{"round": "on round the corners", "each-wall": "every wall by itself", "feature": "equal ends on one wall"}

func groupOf(s *frame.Sheet, run *stage.Group, strips *stage.Strips) group {
	chosen := run.Options[run.Chosen]
	g := group{Count: fmt.Sprint(chosen.Count), Width: unit.Figure(float64(chosen.Width), 1), AreaA: strips.AreaA.Fixed(2), AreaB: strips.AreaB.Fixed(2),
		Datum: frame.Sentence(strips.Datum), Lean: frame.Sentence(strips.Lean)}
	where := fmt.Sprintf("round %s m", frame.Metres(run.Length))
	if !run.Closed {
		where = fmt.Sprintf("over %s m", frame.Metres(run.Length))
	}
	g.Words = where + ". " + frame.Sentence(chosen.Summary)
	if strips.FoldLeft > 0 {
		g.Words += fmt.Sprintf(" The first strip goes on %s mm on the wall before.", strips.FoldLeft.MM())
	}
	if strips.FoldRight > 0 {
		g.Words += fmt.Sprintf(" The last one goes on %s mm on the wall after.", strips.FoldRight.MM())
	}
	at := finishPath(s, run.Finish)
	if f := s.Finish(run.Finish); f != nil {
		g.Finish = f.Name
	}
	wants := []struct {
		key, label string
		used       unit.Length
	}{{"narrowest", "Narrowest strip", run.Want.Narrowest}, {"wanted", "Width wanted", run.Want.Wanted}, {"widest", "Widest strip", run.Want.Widest}, {"sliver", "No piece narrower than", run.Want.Sliver}}
	for _, want := range wants {
		f := frame.FieldOf(s.Board, at+".strips."+want.key, want.label, "mm")
		if f.Typed == "" {
			f.Note = "used now: " + want.used.MM()
		}
		g.Wants = append(g.Wants, f)
	}
	g.Wants = append(g.Wants, frame.FieldOf(s.Board, at+".strips.lines", "Lines at a leaning corner", "").From(
		frame.Choice{Words: "as usual, plumb"}, frame.Choice{Value: "plumb", Words: "true plumb"}, frame.Choice{Value: "shared", Words: "shared out"}))
	for i := range run.Options {
		g.Ways = append(g.Ways, wayOf(s, run, i, at))
	}
	for _, m := range strips.Marks {
		g.Marks = append(g.Marks, mark{fmt.Sprint(m.Number), m.Foot.MM(), m.Head.MM(), m.Left + " | " + m.Right})
	}
	return g
}

func finishPath(s *frame.Sheet, id string) string {
	for i := range s.Board.Job.Finishes {
		if s.Board.Job.Finishes[i].ID == id {
			return fmt.Sprintf("finishes[%d]", i)
		}
	}
	return "finishes[0]"
}

func wayOf(s *frame.Sheet, run *stage.Group, i int, at string) way {
	o := run.Options[i]
	w := way{Rank: i + 1, Name: wayNames[o.Way], Summary: frame.Sentence(o.Summary), Chosen: i == run.Chosen, SetWay: at + ".strips.way", Way: o.Way, SetFeature: at + ".strips.feature", SetCount: at + ".strips.count", Count: o.Count, SetFirst: at + ".strips.first", First: strconv.FormatFloat(float64(o.Phase), 'f', 1, 64)}
	if o.Way == "feature" {
		w.Feature = s.Board.Typed(at + ".strips.feature")
	}
	if w.Name == "" {
		w.Name = o.Way
	}
	w.Costs = fmt.Sprintf("%s m of joints to tape, %s to mark", unit.Figure(float64(o.Joints)/1000, 1), o.Marking.Words(1, "h"))
	if o.Narrowest > 0 {
		w.Costs += fmt.Sprintf("; narrowest piece %s mm, %s", o.Narrowest.MM(), o.At)
	}
	if o.Clash != "" {
		w.Costs += "; one colour meets itself at " + o.Clash
	}
	w.Costs += "."
	var walls []*survey.Wall
	for _, id := range run.Faces {
		if _, wall, _ := s.Board.Plan.Survey.FaceByID(id); wall != nil {
			walls = append(walls, wall)
		}
	}
	w.Run = drawing.Run(walls, o.Faces, 600, fmt.Sprintf("run-%d", i))
	return w
}

func faceOf(f *survey.Face, set *stage.Face, two bool) face {
	out := face{}
	if two {
		out.Title = "above the rail"
		if f.ID != f.Wall {
			out.Title = "below the rail"
		}
	}
	for _, s := range set.Sections {
		out.Sections = append(out.Sections, section{fmt.Sprint(s.Number), s.X0.MM(), s.X1.MM(), s.Y0.MM() + " to " + s.Y1.MM(), s.Area.Fixed(2)})
	}
	for i, r := range set.Rows {
		out.Rows = append(out.Rows, fmt.Sprintf("Row %d, from %s to %s mm above the floor: %s of %s mm, the first begins at %s mm.", i+1, r.Y0.MM(), r.Y1.MM(),
			frame.Counted(r.Count, "square", "squares"), r.Motif.MM(), r.Start.MM()))
	}
	if p := set.Sheets; p != nil {
		out.Sheets = fmt.Sprintf("%d sheets of %s by %s mm, %d across and %d up, overlapping %s mm. Lay out %d: each is used over again as the catalog says.",
			p.Count, p.Width.MM(), p.Height.MM(), p.Across, p.Up, p.Overlap.MM(), p.Need)
	}
	var at []string
	for _, b := range set.Breaks {
		if b.Kind == "corner" || b.Kind == "opening" {
			at = append(at, fmt.Sprintf("%s mm (%s)", b.X.MM(), b.Where))
		}
	}
	if len(at) > 0 {
		out.Breaks = "Where work may stop: " + strings.Join(at, ", ") + "."
	}
	return out
}
