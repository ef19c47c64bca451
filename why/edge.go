package why

import (
	"fmt"
	"strings"

	"scumble/drying"
	"scumble/plan"
	"scumble/schedule"
	"scumble/survey"
	"scumble/unit"
	"scumble/vapour"
	"scumble/wetedge"
)

// edge tells what the chance of a lap mark on a face rests on, for every glaze that keeps a
// wet edge.
func edge(p *plan.Plan, f *survey.Face) ([]Reason, error) {
	m := methodFace(p, f.ID)
	parts := wetedge.Parts{Job: p.Job, Catalog: p.Catalog, Survey: p.Survey, SetOut: p.SetOut, Method: p.Method, Programme: p.Programme}
	var out []Reason
	for _, s := range wetedge.Steps(m) {
		a, err := wetedge.Ask(parts, wetedge.Question{Step: s.ID})
		if err != nil {
			return nil, err
		}
		minutes := func(v float64) string { return unit.Figure(v, 0) + " min" }
		w := a.Joints[a.Weakest]
		counts := "glaze that waits for the tool, or is laid against"
		if m.Technique.Pair.Cross {
			counts = "the tool runs through the joint: the older side when it passes"
		}
		pair := "techniques/" + m.Technique.ID + "/pair."
		out = append(out, Reason{
			Figure: s.Title + ", a lap mark on " + f.ID, Value: fmt.Sprintf("%s in 100, from %s to %s", wetedge.InHundred(a.Chance.Likely), wetedge.InHundred(a.Chance.Low), wetedge.InHundred(a.Chance.High)),
			How: fmt.Sprintf("some joint of %d sections older than its open time, both lognormal; ends: open time at the ends of its range", len(a.Layout.Pieces)),
			From: []Reason{
				{Figure: "open time here, " + a.At.Format("Mon 2 Jan 15:04"), Value: fmt.Sprintf("%s, from %s to %s", minutes(a.Open.Likely), minutes(a.Open.Low), minutes(a.Open.High)),
					How:  "declared time followed through the hours of the room, × film laid over film declared",
					From: []Reason{figure(p.Catalog, a.Open.Figure), {Figure: "air and wall", Value: fmt.Sprintf("%s, %s, wall %s", a.Air.Temp, a.Air.Humidity, a.Air.Surface)}, {Figure: "film laid over declared", Value: unit.Figure(float64(s.Film()), 2)}}},
				{Figure: "oldest joint, " + w.Letter, Value: fmt.Sprintf("%s of %s", minutes(w.Age), minutes(w.Open)), How: counts,
					From: []Reason{figure(p.Catalog, pair+"lay"), figure(p.Catalog, pair+"work"), figure(p.Catalog, pair+"clean"), figure(p.Catalog, "defaults/cut-in-pace"), figure(p.Catalog, "defaults/tray"), figure(p.Catalog, "defaults/refill"), figure(p.Catalog, "defaults/shift")}},
				{Figure: "how they differ", Value: "from wall to wall, joint to joint, and in pace", From: []Reason{figure(p.Catalog, "defaults/open-wall"), figure(p.Catalog, "defaults/open-joint"), figure(p.Catalog, "defaults/pace-spread")}},
				{Figure: "held to be safe", Value: wetedge.InHundred(a.Chance.Target) + " in 100", From: []Reason{figure(p.Catalog, "defaults/lap-chance")}},
			},
		})
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("nothing on %s keeps a wet edge", f.ID)
	}
	return out, nil
}

// dry tells what the stages of every coat on a face rest on.
func dry(p *plan.Plan, f *survey.Face) ([]Reason, error) {
	coats, err := schedule.Coats(p.Programme, p.Survey, p.Method, p.Job, p.Catalog.Defaults, f.ID)
	if err != nil {
		return nil, err
	}
	var out []Reason
	for i := range coats {
		c := &coats[i]
		r := Reason{Figure: c.Step.Title + " on " + f.ID, Value: "finished " + c.Task.End.Format("Mon 2 Jan 15:04"), How: howDry(c)}
		r.From = append(r.From, Reason{Figure: "air and wall then", Value: fmt.Sprintf("%s, %s, wall %s", c.Air.Temp, c.Air.Humidity, c.Air.Surface)})
		for _, e := range c.Stages {
			r.From = append(r.From, Reason{Figure: e.Stage, Value: fmt.Sprintf("%s; by the clock %s, in this air %s", e.Use.Words(1, "h"), e.Declared.Words(1, "h"), e.Model.Words(1, "h")), From: []Reason{figure(p.Catalog, e.Figure)}})
		}
		out = append(out, r)
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("nothing is laid on %s", f.ID)
	}
	return out, nil
}

func howDry(c *schedule.Coat) string {
	how := "progress summed over the hours: vapour-pressure deficit at the wall over that at 23 °C and 50 %"
	switch drying.Base(c.Step.Product) {
	case "oil":
		how = "progress summed over the hours: Arrhenius with the temperature of the wall, 50 kJ/mol"
	case "none":
		how = "by the clock"
	}
	return how + "; what counts: " + map[string]string{drying.ByLater: "the later of both", drying.ByModel: "this air", drying.ByDeclared: "the clock"}[c.By]
}

// room tells what the solvent in the air of a room rests on.
func room(p *plan.Plan, name string) ([]Reason, error) {
	var names []string
	for i := range p.Air.Rooms {
		r := &p.Air.Rooms[i]
		names = append(names, r.Name)
		if !strings.EqualFold(r.Name, name) {
			continue
		}
		if len(r.Series) == 0 {
			return []Reason{{Figure: "solvent in the air of " + r.Name, Value: "none", How: "no product with solvent is laid there"}}, nil
		}
		peak := Reason{Figure: "highest level of solvent in " + r.Name, Value: fmt.Sprintf("%s, from %s to %s, %s", r.Peak.Level.Likely, r.Peak.Level.Low, r.Peak.Level.High, r.Peak.At.Format("Mon 2 Jan 15:04")),
			How: "film gives off what it holds, one well-mixed room carries it out: V dC/dt = k m - Q C / K",
			From: []Reason{
				{Figure: "solvent laid", Value: r.Solvent.Words(2, "kg"), How: "litres of ready mix × what a litre gives off", From: solvents(p, r)},
				{Figure: "air of the room", Value: r.Volume.Words(1, "m³"), How: "floor, " + r.FloorFrom + ", × height", From: []Reason{{Figure: "floor", Value: r.Floor.Words(2, "m²")}}},
				{Figure: "air changes with the windows shut", Value: r.Shut.Words(1, "an hour"), From: []Reason{figure(p.Catalog, "defaults/air-shut")}},
				{Figure: "air changes with the windows open", Value: r.Aired.Words(1, "an hour"), From: []Reason{figure(p.Catalog, "defaults/air-open")}},
				figure(p.Catalog, "defaults/mixing"), figure(p.Catalog, "defaults/touch-left"),
			}}
		for _, l := range r.Limits {
			peak.From = append(peak.From, Reason{Figure: "limit, " + l.Name + ", " + l.Region, Value: l.Most.String(), How: fmt.Sprintf("reached to %s %%", unit.Figure(100*float64(l.Share.Likely), 0)), From: []Reason{figure(p.Catalog, "limits/"+l.Limit.ID+"/value")}})
		}
		return []Reason{peak}, nil
	}
	return nil, fmt.Errorf("no room %q with work in it; the rooms are:\n  %s", name, strings.Join(names, "\n  "))
}

// solvents are the figures behind what the mixes of a room give off, each once.
func solvents(p *plan.Plan, r *vapour.Room) (out []Reason) {
	told := map[string]bool{}
	for f := range p.Method.Faces {
		for _, s := range p.Method.Faces[f].Steps {
			if s.Room != r.Name || s.Product == nil || s.Product.VOC == nil || drying.Base(s.Product) != "oil" || told[s.Product.ID] {
				continue
			}
			told[s.Product.ID] = true
			out = append(out, figure(p.Catalog, "products/"+s.Product.ID+"/voc"))
			if s.Let.Thinner != nil && s.Let.Thinner.VOC != nil && !told[s.Let.Thinner.ID] {
				told[s.Let.Thinner.ID] = true
				out = append(out, figure(p.Catalog, "products/"+s.Let.Thinner.ID+"/voc"))
			}
		}
	}
	return out
}
