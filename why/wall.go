package why

import (
	"fmt"
	"strings"

	"scumble/method"
	"scumble/plan"
	"scumble/price"
	"scumble/quantity"
	"scumble/schedule"
	"scumble/survey"
	"scumble/unit"
)

// roles maps the words of a question to the kinds of step they ask about.
var roles = map[string]string{
	"primer": method.Prime, "filler": method.Fill, "ground": method.Ground,
	"glaze": method.Glaze, "clear": method.Clear, "relief": method.Relief,
}

// wall answers a question about one wall, or about one face of it.
func wall(p *plan.Plan, name, what string) ([]Reason, error) {
	faces := facesOf(p, name)
	if len(faces) == 0 {
		return nil, fmt.Errorf("no painted wall is called %q; the walls are:\n  %s", name, strings.Join(faceNames(p), "\n  "))
	}
	var out []Reason
	for _, f := range faces {
		rs, err := face(p, f, what)
		if err != nil {
			return nil, err
		}
		out = append(out, rs...)
	}
	return out, nil
}

func face(p *plan.Plan, f *survey.Face, what string) ([]Reason, error) {
	kind, isRole := roles[what]
	switch {
	case what == "area":
		return []Reason{area(p, f)}, nil
	case what == "strips":
		return []Reason{strips(p, f)}, nil
	case what == "paid":
		return paid(p, f), nil
	case what == "hours", what == "waits", what == "day":
		return steps(p, f, what), nil
	case what == "edge":
		return edge(p, f)
	case what == "dry":
		return dry(p, f)
	case isRole:
		return coats(p, f, kind)
	}
	return nil, fmt.Errorf("cannot tell %q of a wall; ask one of:\n  %s", what, strings.Join(Questions(), "\n  "))
}

// facesOf finds faces by the name of the wall or of the face itself.
func facesOf(p *plan.Plan, name string) []*survey.Face {
	var out []*survey.Face
	for r := range p.Survey.Rooms {
		for w := range p.Survey.Rooms[r].Walls {
			for i := range p.Survey.Rooms[r].Walls[w].Faces {
				f := &p.Survey.Rooms[r].Walls[w].Faces[i]
				if strings.EqualFold(f.ID, name) || strings.EqualFold(f.Wall, name) {
					out = append(out, f)
				}
			}
		}
	}
	return out
}

func faceNames(p *plan.Plan) []string {
	var names []string
	for _, r := range p.Survey.Rooms {
		for _, w := range r.Walls {
			for _, f := range w.Faces {
				names = append(names, f.ID)
			}
		}
	}
	return names
}

func area(p *plan.Plan, f *survey.Face) Reason {
	_, w, _ := p.Survey.FaceByID(f.ID)
	field := Reason{Figure: "field after openings, skirting and cornice", Value: f.Net.String(), From: measures(p, f)}
	for _, i := range f.Openings {
		o := w.Openings[i]
		field.From = append(field.From, Reason{
			Figure: "opening, " + o.Name, Value: o.Area.String(), How: "taken out, but for what lies in the skirting", Typed: o.Path,
		})
	}
	reveals := Reason{Figure: "painted reveals", Value: f.Reveals.String(), How: "depth × length of the sides named under paint"}
	return Reason{
		Figure: "to paint on " + f.ID, Value: f.Painted().String(),
		How: "field + painted reveals; not the area that is paid", From: []Reason{field, reveals},
	}
}

// measures are the figures of the wall as somebody typed them.
func measures(p *plan.Plan, f *survey.Face) []Reason {
	for r := range p.Job.Rooms {
		for i, w := range p.Job.Rooms[r].Walls {
			path := fmt.Sprintf("rooms[%d].walls[%d]", r, i)
			if path != f.Path && !strings.HasPrefix(f.Path, path+".") {
				continue
			}
			if len(w.Outline) > 0 {
				return []Reason{{Figure: "outline", Value: fmt.Sprintf("%d corners", len(w.Outline)), How: "as typed", Typed: path + ".outline"}}
			}
			out := []Reason{typed("length", path+".length", w.Length.Text)}
			if w.Height.Given() {
				out = append(out, typed("height", path+".height", w.Height.Text))
			} else {
				out = append(out, typed("height of the room", fmt.Sprintf("rooms[%d].height", r), p.Job.Rooms[r].Height.Text))
			}
			return out
		}
	}
	return nil
}

func strips(p *plan.Plan, f *survey.Face) Reason {
	for _, g := range p.SetOut.Groups {
		for i, id := range g.Faces {
			if id != f.ID {
				continue
			}
			o := g.Options[g.Chosen]
			r := Reason{
				Figure: "strips on " + f.ID, Value: fmt.Sprintf("%d joints, strips of %s mm", len(o.Faces[i].Marks), unit.Figure(float64(o.Width), 1)),
				How: o.Summary,
				From: []Reason{
					{Figure: "run of walls divided together", Value: fmt.Sprintf("%s mm, %d strips", g.Length.MM(), o.Count), How: strings.Join(g.Faces, "; ")},
					{Figure: "width wanted", Value: fmt.Sprintf("%s mm, from %s to %s", g.Want.Wanted.MM(), g.Want.Narrowest.MM(), g.Want.Widest.MM()), From: wanted(p, f)},
					{Figure: "sliver limit", Value: g.Want.Sliver.String(), From: []Reason{figure(p.Catalog, "defaults/sliver")}},
				},
			}
			for _, c := range o.Costs {
				r.From = append(r.From, Reason{Figure: "counts against this way: " + c.What, Value: unit.Figure(c.Amount, 3), How: c.Where})
			}
			for rank, other := range g.Options {
				if rank != g.Chosen {
					r.From = append(r.From, Reason{Figure: fmt.Sprintf("way %d", rank+1), Value: fmt.Sprintf("%d strips of %s mm, cost %s against %s", other.Count, unit.Figure(float64(other.Width), 1), unit.Figure(other.Cost, 3), unit.Figure(o.Cost, 3)), How: other.Summary})
				}
			}
			return r
		}
	}
	return Reason{Figure: "strips on " + f.ID, Value: "none", How: "its technique is not set out in strips"}
}

// wanted are the strip widths of the technique, where it states them.
func wanted(p *plan.Plan, f *survey.Face) []Reason {
	t := methodFace(p, f.ID).Technique
	if t.StripWidth == nil {
		return nil
	}
	base := "techniques/" + t.ID + "/strip-width."
	return []Reason{figure(p.Catalog, base+"narrowest"), figure(p.Catalog, base+"wanted"), figure(p.Catalog, base+"widest")}
}

func methodFace(p *plan.Plan, id string) *method.Face {
	for i := range p.Method.Faces {
		if p.Method.Faces[i].ID == id {
			return &p.Method.Faces[i]
		}
	}
	return nil
}

// coats tells the litres of every step of one kind, down to the batch they come from.
func coats(p *plan.Plan, f *survey.Face, kind string) ([]Reason, error) {
	var out []Reason
	for _, s := range methodFace(p, f.ID).Steps {
		if s.Kind != kind || s.Product == nil {
			continue
		}
		mix, use := useOf(p, s.ID)
		if mix == nil {
			continue
		}
		laid, measure := mix.AsBought(use.Laid)
		spread := s.SpreadPath
		if spread == "" {
			spread = "products/" + s.Product.ID + "/spread"
		}
		out = append(out, Reason{
			Figure: s.Title + ", laid on " + f.ID, Value: laid.Words(2, measure), How: "area ÷ spreading rate of the ready mix",
			From: []Reason{
				{Figure: "area of this coat", Value: use.Area.String(), How: "over: " + s.Over, From: []Reason{area(p, f)}},
				{Figure: "spreading rate", Value: use.Rate.Words(1, "m² a litre of ready mix"), From: []Reason{figure(p.Catalog, spread)}},
				batch(p, mix),
			},
		})
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("%s has no such coat", f.ID)
	}
	return out, nil
}

func useOf(p *plan.Plan, step string) (*quantity.Mix, *quantity.Use) {
	for m := range p.Quantities.Mixes {
		for u := range p.Quantities.Mixes[m].Uses {
			if p.Quantities.Mixes[m].Uses[u].Step == step {
				return &p.Quantities.Mixes[m], &p.Quantities.Mixes[m].Uses[u]
			}
		}
	}
	return nil, nil
}

// batch tells how one boxed batch comes to its size and how it is let down.
func batch(p *plan.Plan, m *quantity.Mix) Reason {
	ready, u := m.AsBought(m.Ready)
	laid, _ := m.AsBought(m.Laid)
	r := Reason{
		Figure: fmt.Sprintf("batch %s, %s %s", m.ID, m.Product.Name, m.Colour.Name), Value: ready.Words(2, u) + " ready",
		How: fmt.Sprintf("laid ÷ (1 - loss) + reserve, boxed as one for %d uses", len(m.Uses)),
		From: []Reason{
			{Figure: "laid in all its steps", Value: laid.Words(2, u)},
			{Figure: "loss, a share of what is mixed", Value: m.Loss.String(), From: []Reason{figure(p.Catalog, "products/"+m.Product.ID+"/loss")}},
			{Figure: "kept for touching up", Value: m.Reserve.String(), From: []Reason{figure(p.Catalog, "defaults/touch-up-reserve")}},
		},
	}
	if m.Thinner == nil {
		return r
	}
	let := Reason{
		Figure: "let down", Value: fmt.Sprintf("%s of %s to %s of %s", m.Thin, m.Thinner.Name, m.Stock, m.Product.Name),
		How: fmt.Sprintf("%s read as %s", m.Percent, readingWords(m.Reading)), From: []Reason{letDown(p, m)},
	}
	if o := m.Other; o != nil {
		let.From = append(let.From, Reason{
			Figure: "the other reading, " + readingWords(o.Reading), Value: fmt.Sprintf("%s of %s to %s of %s", o.Thin, m.Thinner.Name, o.Stock, m.Product.Name),
			How: fmt.Sprintf("volume solids of the mix would be %s instead of %s", o.Solids, m.Solids),
		})
	}
	r.From = append(r.From, let)
	return r
}

// letDown is where the dilution of a mix was said: in the job or in the catalog.
func letDown(p *plan.Plan, m *quantity.Mix) Reason {
	for _, f := range p.Method.Faces {
		for _, s := range f.Steps {
			if s.ID != m.Uses[0].Step || !strings.HasPrefix(s.Let.Path, "finishes[") {
				continue
			}
			return typed("let-down of the finish", s.Let.Path, f.Finish.LetDown.Percent.Text)
		}
	}
	return figure(p.Catalog, "products/"+m.Product.ID+"/dilution.parts")
}

func readingWords(reading string) string {
	if reading == "share" {
		return "a share of the final mix"
	}
	return "parts on 100 of product"
}

// steps tells hours, waits or days of every step on a face.
func steps(p *plan.Plan, f *survey.Face, what string) []Reason {
	tasks := map[string]*schedule.Task{}
	for i := range p.Programme.Tasks {
		tasks[p.Programme.Tasks[i].Step] = &p.Programme.Tasks[i]
	}
	var out []Reason
	for _, s := range methodFace(p, f.ID).Steps {
		switch what {
		case "hours":
			out = append(out, hours(p, s))
		case "waits":
			out = append(out, waits(p, s)...)
		case "day":
			t := tasks[s.ID]
			out = append(out, Reason{
				Figure: s.Title, Value: span(t) + ", " + strings.Join(t.People, " and "),
				How: t.Before, From: waits(p, s),
			})
		}
	}
	return out
}

// span says from when to when a task runs, with the second day where there is one.
func span(t *schedule.Task) string {
	end := "15:04"
	if t.Start.YearDay() != t.End.YearDay() {
		end = "Mon 2 Jan 15:04"
	}
	return t.Start.Format("Mon 2 Jan 15:04") + " to " + t.End.Format(end)
}

func hours(p *plan.Plan, s method.Step) Reason {
	r := Reason{Figure: s.Title, Value: s.Work.Words(1, "h") + fmt.Sprintf(" for %d", s.Crew), How: "area or length ÷ pace, more above reach, and setting up"}
	if s.Rate != nil {
		base := "rates/" + s.Rate.ID + "/"
		r.From = []Reason{
			{Figure: "over", Value: overWords(s)},
			figure(p.Catalog, base+"pace"), figure(p.Catalog, base+"tall"), figure(p.Catalog, base+"set-up"),
		}
	}
	return r
}

func overWords(s method.Step) string {
	if s.Area > 0 {
		return s.Area.String()
	}
	return unit.Figure(s.Length.Metres(), 1) + " m"
}

func waits(p *plan.Plan, s method.Step) []Reason {
	var out []Reason
	for _, w := range s.Waits {
		if w.From.High == 0 {
			continue
		}
		r := Reason{Figure: s.Title + " waits on " + w.On, Value: w.From.Words(1, "h") + " at 23 °C and 50 %", How: w.Why}
		if w.Figure != "" {
			r.From = append(r.From, figure(p.Catalog, w.Figure))
		}
		if w.Until > 0 {
			r.From = append(r.From, Reason{Figure: "no later than", Value: w.Until.String() + " after it"})
		}
		out = append(out, r)
	}
	return out
}

func paid(p *plan.Plan, f *survey.Face) []Reason {
	var out []Reason
	for _, l := range p.Quote.Lines {
		for _, m := range l.Measured {
			if m.Face != f.ID {
				continue
			}
			out = append(out, paidReason(p, l, m))
		}
	}
	return out
}

func paidReason(p *plan.Plan, l price.Line, m price.Measured) Reason {
	r := Reason{
		Figure: l.Work + ", paid area of " + m.Face, Value: unit.Figure(float64(m.Paid), 2) + " m²",
		How:  "by " + p.Quote.Rule.Name + ", " + p.Quote.Rule.Edition + "; it never counts for material",
		From: []Reason{{Figure: "measured over", Value: unit.Figure(float64(m.Gross), 2) + " m²", From: measuresOf(p, m.Face)}},
	}
	for _, d := range m.Deducted {
		r.From = append(r.From, Reason{Figure: d.Opening, Value: fmt.Sprintf("%s of %s m² taken off", unit.Figure(float64(d.Taken), 2), unit.Figure(float64(d.Area), 2)), How: d.Why})
	}
	if m.Reveals > 0 {
		r.From = append(r.From, Reason{Figure: "reveals paid", Value: unit.Figure(float64(m.Reveals), 2) + " m²"})
	}
	if s := p.Catalog.Sources[p.Quote.Rule.Source]; s != nil {
		r.Source = s.Cite
	}
	return r
}

func measuresOf(p *plan.Plan, id string) []Reason {
	if _, _, f := p.Survey.FaceByID(id); f != nil {
		return measures(p, f)
	}
	return nil
}
