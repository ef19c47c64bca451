// Package coats is the place of the coat system of a wall, step by step, and of the
// mixes of the job.
package coats

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/drying"
	"scumble/method"
	"scumble/quantity"
	"scumble/unit"
	"scumble/web/board"
	"scumble/web/frame"
	"scumble/why"
)

//go:embed coats.html
var page string

// Place is the page.
func Place() *frame.Place {
	return &frame.Place{Slug: "coats", Name: "Coats and mixes", Page: page, Walled: true, Show: show}
}

type view struct {
	Why    string
	Faces  []face
	Air    []string // of the room: what it is, and what keeps one from painting
	Holds  []frame.Notice
	Mixes  []mix
	Others int // index of the first mix that is not for this wall
	Reason []why.Reason
	Asked  string
	Labels string
	NoMix  string
	// What this crew brings of its own: glazes to mix from, and figures of the catalog.
	Tints, Figures []entry
	Recipes        []frame.Field
	Offered        []offered
	// What was seen on walls of this crew.
	Taught      []taught
	Observable  []offered
	Here, Today string // the wall and the day a new one is most likely of
}

type face struct {
	Title   string
	Steps   []step
	Faults  []catalog.Fault
	SetDone string // the fields that note what is finished
	SetAt   string
	Done    string
}

type step struct {
	Number            int
	Rule, Title, Do   string
	Who               []string
	Tools             string
	Size              string // what it covers
	Work              string // how long it takes
	Waits             []string
	Begin, Hold       string
	Cautions          []frame.Notice
	Mix               string
	Finished, Current bool
	Chip              string // colour laid
	Colour            string
	Moment            string // now, for the button
}

type mix struct {
	ID, Product, Colour, Hex string
	Where                    string
	Ready, Range             string
	Stock, Thin              string
	StockMass, ThinMass      string
	Reserve, Film            string
	Handling                 string
	Here                     bool
	Readings                 []reading
}

// reading is one way of understanding a percentage of thinner.
type reading struct {
	Words, Stock, Thin string
	Used               bool
}

func show(s *frame.Sheet) (any, error) {
	v := &view{}
	tints(s, v)
	figures(s, v)
	walls(s, v)
	m := s.Board.Plan.Method
	if m == nil || s.Wall == nil || s.Wall.Survey == nil || len(s.Wall.Survey.Faces) == 0 {
		v.Why = "The steps follow when the wall is measured and has a finish."
	}
	if q := s.Board.Plan.Quantities; q != nil {
		v.Mixes = mixes(s, q)
		v.Others = slices.IndexFunc(v.Mixes, func(m mix) bool { return !m.Here })
		v.Labels = s.Paper("mixes.pdf")
	} else {
		v.NoMix = "The mixes follow when the walls are measured and every finish is chosen."
	}
	if v.Why != "" {
		return v, nil
	}
	for i := range s.Wall.Survey.Faces {
		for k := range m.Faces {
			if m.Faces[k].ID == s.Wall.Survey.Faces[i].ID {
				v.Faces = append(v.Faces, faceOf(s, &m.Faces[k], len(s.Wall.Survey.Faces) > 1))
			}
		}
	}
	air(s, v)
	v.Asked = s.Query.Get("why")
	if slices.Contains([]string{"area", "hours", "waits", "primer", "filler", "ground", "glaze", "clear", "day", "strips"}, v.Asked) && s.Board.Plan.Quote != nil {
		reasons, err := why.Ask(s.Board.Plan, []string{"wall", s.Wall.ID, v.Asked})
		if err == nil {
			v.Reason = reasons
		}
	}
	return v, nil
}

func faceOf(s *frame.Sheet, f *method.Face, two bool) face {
	w := s.Wall
	out := face{SetDone: w.Path + ".done", SetAt: w.Path + ".ended", Faults: f.Technique.Faults, Done: w.Typed.Done}
	if two {
		out.Title = "Above the rail"
	}
	if d := w.Typed.Dado; d != nil && f.ID != w.ID {
		out.Title = "Below the rail"
		out.SetDone, out.SetAt, out.Done = w.Path+".dado.done", w.Path+".dado.ended", d.Done
	}
	last := slices.IndexFunc(f.Steps, func(st method.Step) bool { return st.Rule == out.Done })
	for i := range f.Steps {
		st := stepOf(s, &f.Steps[i])
		st.Finished, st.Current = i <= last, i == last+1
		st.Moment = s.Now.Format("2006-01-02 15:04")
		out.Steps = append(out.Steps, st)
	}
	return out
}

func stepOf(s *frame.Sheet, m *method.Step) step {
	out := step{Number: m.Number, Rule: m.Rule, Title: m.Title, Do: frame.Sentence(m.Do), Begin: m.Begin, Hold: m.Hold}
	if m.Product != nil {
		out.Chip, out.Colour = m.Colour.Hex, m.Colour.Name
	}
	if m.Lays != "" {
		out.Who = append(out.Who, "One lays: "+frame.Sentence(m.Lays))
	}
	if m.Works != "" {
		out.Who = append(out.Who, "The other works: "+frame.Sentence(m.Works))
	}
	if m.Edges != "" {
		out.Who = append(out.Who, "Edges and corners: "+frame.Sentence(m.Edges))
	}
	var tools []string
	for _, g := range slices.Concat(m.Tools, m.Goods) {
		tools = append(tools, strings.ToLower(g.Name[:1])+g.Name[1:])
	}
	out.Tools = strings.Join(tools, ", ")
	switch {
	case m.Length > 0 && (m.Over == "joints" || m.Over == "edges"):
		out.Size = fmt.Sprintf("%s m of %s", unit.Figure(float64(m.Length)/1000, 1), m.Over)
	case m.Area > 0:
		out.Size = m.Area.String()
	}
	people := "one person"
	if m.Crew == 2 {
		people = "two people"
	} else if m.Crew > 2 {
		people = fmt.Sprintf("%d people", m.Crew)
	}
	out.Work = m.Work.Words(1, "h") + ", " + people
	if m.Stand != "" && m.Stand != "floor" {
		out.Work += ", from " + map[string]string{"steps": "steps", "platform": "a platform", "scaffold": "a scaffold"}[m.Stand]
	}
	for _, wait := range m.Waits {
		if wait.From.High <= 0 {
			continue
		}
		text := "Begins " + wait.From.Words(1, "h") + " after " + stepName(wait.On) + " at 23 °C and 50 %"
		if wait.Until > 0 {
			text += ", at the latest " + unit.Figure(float64(wait.Until), 0) + " h after it"
		}
		out.Waits = append(out.Waits, text+". "+frame.Sentence(wait.Why))
	}
	for _, c := range m.Cautions {
		out.Cautions = append(out.Cautions, frame.Notice{Kind: c.Shape, What: frame.Sentence(c.Title), Do: frame.Sentence(c.Text), Where: frame.Sentence(c.Defers)})
	}
	if q := s.Board.Plan.Quantities; q != nil {
		for i := range q.Mixes {
			for _, use := range q.Mixes[i].Uses {
				if use.Step == m.ID {
					out.Mix = fmt.Sprintf("Mix %s, %s of it ready: %s of product and %s of %s.", q.Mixes[i].ID, use.Laid.Words(2, "L"), use.Stock, use.Thin, thinner(&q.Mixes[i]))
					if use.Thin == 0 {
						out.Mix = fmt.Sprintf("Mix %s, %s of it, as it comes.", q.Mixes[i].ID, use.Laid.Words(2, "L"))
					}
				}
			}
		}
	}
	return out
}

func stepName(id string) string {
	_, rule, _ := strings.Cut(id, "#")
	return strings.ReplaceAll(rule, "-", " ")
}

func thinner(m *quantity.Mix) string {
	if m.Thinner == nil {
		return "thinner"
	}
	return strings.ToLower(m.Thinner.Name)
}

// air tells the climate of the room and everything that says not to paint in it.
func air(s *frame.Sheet, v *view) {
	a := s.AirOf(s.Wall)
	when := "as typed for this room"
	if !s.PlaceOf(s.Wall).Climate(s.Board.Plan.Catalog.Defaults).Steadily() {
		when = "at noon; nights stand under Air"
	}
	v.Air = append(v.Air, fmt.Sprintf("%s and %s, %s.", a.Temp, a.Humidity, when))
	if dew, err := drying.DewPoint(a.Temp, a.Humidity); err == nil {
		if margin, err := a.Margin(); err == nil {
			v.Air = append(v.Air, fmt.Sprintf("It wets a surface below %s; this wall is %s K above that. Three are enough.", dew, unit.Figure(margin, 1)))
		}
	}
	seen := map[string]bool{}
	for _, f := range s.Board.Plan.Method.Faces {
		if f.Wall != s.Wall.Name || f.Room != s.Wall.Room {
			continue
		}
		for i := range f.Steps {
			for _, h := range drying.Holds(a, f.Steps[i].Product, s.Board.Plan.Catalog.Defaults) {
				if !seen[h.Rule+h.Figure] {
					seen[h.Rule+h.Figure] = true
					v.Holds = append(v.Holds, frame.Notice{Kind: "hold", What: frame.Sentence(h.Figure), Do: frame.Sentence(h.Do)})
				}
			}
		}
	}
}

func mixes(s *frame.Sheet, q *quantity.Quantities) []mix {
	var out []mix
	for i := range q.Mixes {
		out = append(out, mixOf(s, &q.Mixes[i]))
	}
	slices.SortStableFunc(out, func(a, b mix) int {
		switch {
		case a.Here == b.Here:
			return 0
		case a.Here:
			return -1
		}
		return 1
	})
	return out
}

func mixOf(s *frame.Sheet, m *quantity.Mix) mix {
	out := mix{ID: m.ID, Product: m.Product.Name, Colour: m.Colour.Name, Hex: m.Colour.Hex, Ready: m.Ready.Likely.Fixed(2),
		Range: "from " + m.Ready.Low.Fixed(2) + " to " + m.Ready.High.Fixed(2), Stock: m.Stock.Fixed(2), Thin: m.Thin.Fixed(2),
		StockMass: grams(m.StockMass), ThinMass: grams(m.ThinMass), Handling: frame.Sentence(m.Product.Handling)}
	if m.Reserve > 0 {
		out.Reserve = m.Reserve.String()
	}
	var walls []string
	for _, use := range m.Uses {
		if !slices.Contains(walls, use.Face) {
			walls = append(walls, use.Face)
		}
		if s.Wall != nil && board.Within(strings.ReplaceAll(use.Face, ", dado", ""), s.Wall.ID) {
			out.Here = true
		}
	}
	out.Where = strings.Join(walls, "; ")
	if len(walls) > 4 {
		out.Where = strings.Join(walls[:3], "; ") + fmt.Sprintf(" and %d more", len(walls)-3)
	}
	if m.DryFilm > 0 {
		out.Film = fmt.Sprintf("%s dry for a coat as laid", m.DryFilm)
	}
	if m.Parts <= 0 {
		return out
	}
	words := map[string]string{"parts": "%s of thinner on each litre of product", "share": "%s of the mix is thinner"}
	out.Readings = append(out.Readings, reading{fmt.Sprintf(words[m.Reading], m.Percent), m.Stock.Fixed(2), m.Thin.Fixed(2), true})
	if o := m.Other; o != nil {
		out.Readings = append(out.Readings, reading{fmt.Sprintf(words[o.Reading], m.Percent), o.Stock.Fixed(2), o.Thin.Fixed(2), false})
	}
	return out
}

func grams(m unit.Mass) string { return unit.Figure(float64(m)*1000, 0) }
