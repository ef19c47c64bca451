// Package pair is the place where two people share a wall: its sections, who does what
// minute by minute, how old every joint is when it is merged, and what would help. Hour,
// crew and air can be moved and the answer follows; nothing of that changes the job.
package pair

import (
	_ "embed"
	"fmt"
	"html/template"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"scumble/drying"
	"scumble/method"
	"scumble/unit"
	"scumble/web/drawing"
	"scumble/web/frame"
	"scumble/wetedge"
)

//go:embed pair.html
var page string

// Place is the page.
func Place() *frame.Place {
	return &frame.Place{Slug: "pair", Name: "Pair", Page: page, Walled: true, Show: show}
}

type view struct {
	Why          string
	Coats        []coat
	Answer       *wetedge.Answer
	Wrong        []string // what was asked and cannot be
	Chance, From string
	Open, Footer string
	Wide, Narrow template.HTML
	Caption      string
	Score        template.HTML
	Joints       []joint
	Crews        []crew
	Helps        []help
	Ask          asked
	Rounds       []round
	Changed      bool
	Plan         string // address of the page as planned
	Behind       string // address of every figure behind the answer
	Holds        []frame.Notice
}

type coat struct {
	Words, Href string
	Here        bool
}

type joint struct {
	Letter, Where, Meet, Self, Cross, Age, Open string
	Weak                                        bool
}

type crew struct{ People, In, Chance, Minutes, Href string }

type help struct {
	Rank             int
	Do, Chance, Cost string
	Minutes, Href    string
}

// asked is the form with what is asked.
type asked struct {
	Step, At                 string
	People                   int
	Temp, Humidity           float64
	Draught                  []choice
	Retarder, WaterBorne     bool
	Columns                  string
	TempWords, HumidityWords string
}

type choice struct {
	Value, Words string
	On           bool
}

type round struct{ Words string }

func show(s *frame.Sheet) (any, error) {
	v := &view{Plan: s.Here(), Behind: s.URL("coats") + "&why=edge#why"}
	p := s.Board.Plan
	switch {
	case s.Wall == nil:
		v.Why = "There is no wall yet. Measure one first."
		return v, nil
	case s.Wall.Survey == nil:
		v.Why = "The figures of this wall do not fit yet. They are mended under Measure."
		return v, nil
	case p.Method == nil || p.SetOut == nil:
		v.Why = s.Waits("method")
		return v, nil
	}
	v.rounds(s)
	steps := v.steps(s)
	if len(steps) == 0 {
		v.Why = "Nothing on this wall keeps a wet edge. A finish is chosen under Choose."
		return v, nil
	}
	parts := wetedge.Parts{Job: s.Board.Job, Catalog: p.Catalog, Survey: p.Survey, SetOut: p.SetOut, Method: p.Method, Programme: p.Programme}
	planned, err := wetedge.Ask(parts, wetedge.Question{Step: v.Ask.Step})
	if err != nil {
		v.Why = frame.Sentence(err.Error())
		return v, nil
	}
	q := v.question(s.Query, planned)
	v.Answer = planned
	if v.Changed {
		if v.Answer, err = wetedge.Ask(parts, q); err != nil {
			v.Wrong = append(v.Wrong, frame.Sentence(err.Error()))
			v.Answer = planned
		}
	}
	v.form(s, q)
	v.words(s, q)
	v.draw(s)
	return v, nil
}

// steps are the coats of the wall that keep a wet edge; the one asked about is marked.
func (v *view) steps(s *frame.Sheet) (steps []*method.Step) {
	var faces []*method.Face
	for f := range s.Board.Plan.Method.Faces {
		face := &s.Board.Plan.Method.Faces[f]
		for i := range s.Wall.Survey.Faces {
			if s.Wall.Survey.Faces[i].ID == face.ID {
				faces = append(faces, face)
			}
		}
	}
	for _, face := range faces {
		for _, step := range wetedge.Steps(face) {
			steps = append(steps, step)
			words := step.Title
			if len(faces) > 1 && strings.HasSuffix(face.ID, ", dado") {
				words = "Below the rail: " + words
			}
			v.Coats = append(v.Coats, coat{Words: words, Href: v.Plan + "&step=" + url.QueryEscape(step.ID)})
		}
	}
	at := slices.IndexFunc(steps, func(step *method.Step) bool { return step.ID == s.Query.Get("step") })
	if at < 0 {
		at = 0
	}
	if len(steps) > 0 {
		v.Coats[at].Here = true
		v.Ask.Step = steps[at].ID
		v.Plan = v.Coats[at].Href
	}
	return steps
}

// question reads what is asked beside what is planned.
func (v *view) question(query url.Values, planned *wetedge.Answer) wetedge.Question {
	q := wetedge.Question{Step: v.Ask.Step}
	wrong := func(format string, args ...any) { v.Wrong = append(v.Wrong, fmt.Sprintf(format, args...)) }
	number := func(key string, low, high float64) (float64, bool) {
		text := strings.TrimSpace(query.Get(key))
		if text == "" {
			return 0, false
		}
		n, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
		if err != nil || !(n >= low && n <= high) {
			wrong("%q is not a figure from %v to %v. It is left as planned.", text, low, high)
			return 0, false
		}
		return n, true
	}
	if text := query.Get("at"); text != "" && text != planned.At.Format(moment) {
		at, err := time.Parse(moment, text)
		if err != nil {
			wrong("%q is not a day and time. It is left as planned.", text)
		} else {
			q.At = at
		}
	}
	if n, ok := number("people", 1, 3); ok && int(n) != planned.People {
		q.People = int(n)
	}
	if n, ok := number("temp", -5, 45); ok && n != step(float64(planned.Air.Temp), 0.5) {
		t := unit.Temp(n)
		q.Temp = &t
	}
	if n, ok := number("humidity", 5, 100); ok && n != step(100*float64(planned.Air.Humidity), 1) {
		h := unit.Humidity(n / 100)
		q.Humidity = &h
	}
	if d := query.Get("draught"); slices.Contains(drying.Draughts, d) && d != v.draught(planned) {
		q.Draught = d
	}
	q.Retarder = query.Get("retarder") == "yes"
	if n, ok := number("columns", 1, 200); ok {
		q.Columns = int(n)
	}
	v.Changed = q != wetedge.Question{Step: v.Ask.Step}
	return q
}

// moment is how a browser writes a day and an hour.
const moment = "2006-01-02T15:04"

func step(v, by float64) float64 { return math.Round(v/by) * by }

// draught is the word for the air along the wall as planned.
func (v *view) draught(planned *wetedge.Answer) string {
	return map[bool]string{true: "none", false: ""}[planned.Speed <= drying.ReferenceSpeed]
}

func (v *view) form(s *frame.Sheet, q wetedge.Question) {
	a := v.Answer
	v.Ask.At, v.Ask.People = a.At.Format(moment), a.People
	v.Ask.Temp, v.Ask.Humidity = step(float64(a.Air.Temp), 0.5), step(100*float64(a.Air.Humidity), 1)
	v.Ask.TempWords, v.Ask.HumidityWords = unit.Figure(v.Ask.Temp, 1)+" °C", unit.Figure(v.Ask.Humidity, 0)+" %"
	for _, d := range []choice{{"none", "no draught", false}, {"door", "a door open", false}, {"window", "a window open", false}, {"fan", "a fan", false}} {
		d.On = math.Abs(a.Speed-drying.Draught(d.Value, s.Board.Plan.Catalog.Defaults)) < 1e-9
		v.Ask.Draught = append(v.Ask.Draught, d)
	}
	v.Ask.Retarder = q.Retarder
	if q.Columns > 0 {
		v.Ask.Columns = strconv.Itoa(q.Columns)
	}
	for f := range s.Board.Plan.Method.Faces {
		for _, one := range wetedge.Steps(&s.Board.Plan.Method.Faces[f]) {
			if one.ID == a.Step {
				v.Ask.WaterBorne = drying.Base(one.Product) == "water"
			}
		}
	}
}

func (v *view) words(s *frame.Sheet, q wetedge.Question) {
	a := v.Answer
	in := wetedge.InHundred
	v.Chance = in(a.Chance.Likely)
	v.From = fmt.Sprintf("chance of at least one lap mark on this wall, from %s to %s with open times at the ends of their range. Up to %s is held to be safe.", in(a.Chance.Low), in(a.Chance.High), in(a.Chance.Target))
	if in(a.Chance.Low) == in(a.Chance.High) {
		v.From = fmt.Sprintf("chance of at least one lap mark on this wall, with every open time in its range. Up to %s is held to be safe.", in(a.Chance.Target))
	}
	v.Open = fmt.Sprintf("Glaze stays open %s min here and now, from %s to %s.", minutes(a.Open.Likely), minutes(a.Open.Low), minutes(a.Open.High))
	if math.Abs(a.Open.Last-a.Open.Likely) >= 1 {
		v.Open += fmt.Sprintf(" At the end of the work %s.", minutes(a.Open.Last))
	}
	for _, h := range a.Holds {
		v.Holds = append(v.Holds, frame.Notice{Kind: "hold", What: frame.Sentence(h.Figure), Do: h.Do})
	}
	for i, j := range a.Joints {
		where := fmt.Sprintf("%d with %d", j.A, j.B)
		if j.B == 0 {
			where = fmt.Sprintf("within %d", j.A)
		}
		v.Joints = append(v.Joints, joint{j.Letter, where, minutes1(j.Meet), minutes1(j.Self), minutes1(j.Cross), minutes1(j.Age), minutes(j.Open), i == a.Weakest})
	}
	for _, c := range a.Crews {
		other := q
		other.People = c.People
		v.Crews = append(v.Crews, crew{frame.Counted(c.People, "person", "people"), size(c.Columns, c.Rows), in(c.Chance), minutes(c.Minutes), v.href(other)})
	}
	for i, h := range a.Helps {
		one := help{i + 1, h.Do, in(h.Chance), h.Cost, minutes(h.Minutes), ""}
		if h.Ask != nil {
			one.Href = v.href(*h.Ask)
		}
		v.Helps = append(v.Helps, one)
	}
}

func size(columns, rows int) string {
	if rows == 1 {
		return frame.Counted(columns, "column", "columns") + ", full height"
	}
	return fmt.Sprintf("%s, %d high", frame.Counted(columns, "column", "columns"), rows)
}

func minutes(m float64) string  { return unit.Figure(m, 0) }
func minutes1(m float64) string { return unit.Figure(m, 1) }

// href is the address at which a question is answered.
func (v *view) href(q wetedge.Question) string {
	out := v.Plan
	add := func(key, value string) { out += "&" + key + "=" + url.QueryEscape(value) }
	if !q.At.IsZero() {
		add("at", q.At.Format(moment))
	}
	if q.People > 0 {
		add("people", strconv.Itoa(q.People))
	}
	if q.Temp != nil {
		add("temp", unit.Figure(float64(*q.Temp), 1))
	}
	if q.Humidity != nil {
		add("humidity", unit.Figure(100*float64(*q.Humidity), 0))
	}
	if q.Draught != "" {
		add("draught", q.Draught)
	}
	if q.Retarder {
		add("retarder", "yes")
	}
	if q.Columns > 0 {
		add("columns", strconv.Itoa(q.Columns))
	}
	return out
}

// draw draws the sections on the wall and the score beneath it.
func (v *view) draw(s *frame.Sheet) {
	a, w := v.Answer, s.Wall.Survey
	e := drawing.Elevation{Wall: w, Name: "p", Width: 880, Highest: 430, Picture: s.PictureURL(s.Wall, frame.BoardScale, "D65")}
	e.Label = fmt.Sprintf("Sections of %s in the order of work: %s. Joint %s is the oldest.", s.Wall.Title(), size(a.Layout.Columns, a.Layout.Rows), a.Joints[a.Weakest].Letter)
	if _, _, face := s.Board.Plan.Survey.FaceByID(a.Face); face != nil {
		e.Within = face.Field
	}
	for i := range a.Layout.Pieces {
		p := &a.Layout.Pieces[i]
		words := p.Stand
		if words == "floor" {
			words = ""
		}
		e.Pieces = append(e.Pieces, drawing.Piece{Number: p.Number, Words: words, X0: p.X0, X1: p.X1, Y0: p.Y0, Y1: p.Y1})
	}
	if len(a.Joints) <= 40 {
		for i, j := range a.Joints {
			if j.B > 0 {
				e.Letters = append(e.Letters, drawing.Letter{X: j.X, Y: j.Y, Half: j.Half, Text: j.Letter, Weak: i == a.Weakest})
			}
		}
	} else if j := a.Joints[a.Weakest]; j.B > 0 { // too many letters hide the wall
		e.Letters = []drawing.Letter{{X: j.X, Y: j.Y, Half: j.Half, Text: j.Letter, Weak: true}}
	}
	v.Wide = e.Draw()
	e.Name, e.Width, e.Highest = "pn", 350, 300
	if len(a.Layout.Pieces) > 12 {
		e.Letters = slices.DeleteFunc(slices.Clone(e.Letters), func(l drawing.Letter) bool { return !l.Weak })
	}
	v.Narrow = e.Draw()
	first := &a.Layout.Pieces[0]
	v.Caption = fmt.Sprintf("Sections about %.0f mm wide, numbered as they are laid and worked: down each column, from the left. Letters name the joints; the triangle is the oldest.", first.X1-first.X0)
	v.Score = score(a)
}

// rounds is the order of the walls of the room.
func (v *view) rounds(s *frame.Sheet) {
	for r := range s.Board.Plan.Survey.Rooms {
		room := &s.Board.Plan.Survey.Rooms[r]
		if room.Name != s.Wall.Room {
			continue
		}
		for _, one := range wetedge.Order(room, s.Board.Plan.Method) {
			var names []string
			for _, id := range one.Faces {
				names = append(names, strings.TrimPrefix(id, room.Name+"/"))
			}
			v.Rounds = append(v.Rounds, round{strings.Join(names, ", then ")})
		}
	}
}
