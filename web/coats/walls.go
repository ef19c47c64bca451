package coats

import (
	"fmt"
	"slices"
	"strings"

	"scumble/plan"
	"scumble/web/frame"
)

// taught is a figure with what was seen of it on walls of the crew.
type taught struct {
	Title         string
	Catalog, Now  string // empty while nothing can be learned
	Weight, Aside string
	Seen          []sight
}

// sight is one observation.
type sight struct {
	Path, Value, Where, Air, Reference string
	Look                               []string // what is odd about it
	Entry                              entry    // to correct it
}

// walls are the observations of the job by figure, those that cannot be used among them,
// and the figures that can be observed here.
func walls(s *frame.Sheet, v *view) {
	b := s.Board
	at := map[string]int{}
	for i, o := range b.Job.Observed {
		k, ok := at[o.Of]
		if !ok {
			k = len(v.Taught)
			at[o.Of] = k
			title := figureWords(s.BuiltIn(), o.Of)
			if title == "" {
				title = "Of no figure yet"
			}
			v.Taught = append(v.Taught, taught{Title: title})
		}
		v.Taught[k].Seen = append(v.Taught[k].Seen, sightOf(s, i))
	}
	for i := range b.Plan.Learned {
		l := &b.Plan.Learned[i]
		t := &v.Taught[at[l.Path]]
		t.Catalog, t.Now, t.Weight = l.Span(l.Catalog), l.Span(l.Figure), frame.Sentence(l.Words())
		if l.Overruled {
			now, _ := b.Plan.Catalog.Figure(l.Path)
			t.Now, t.Aside = l.Span(now), "You replaced this figure under Figures of our own, and that counts. Your walls would make it "+l.Span(l.Figure)+"."
		}
		for _, w := range l.Walls {
			if w.Factor != 1 {
				path := fmt.Sprintf("observed[%d]", w.Entry)
				k := slices.IndexFunc(t.Seen, func(one sight) bool { return one.Path == path })
				t.Seen[k].Reference = l.Say(w.Value)
			}
		}
	}
	learn := plan.Known(s.BuiltIn()).Learn
	for _, o := range v.Offered {
		if _, ok, why := learn(o.Path); ok && why == nil {
			v.Observable = append(v.Observable, o)
		}
	}
	if s.Wall != nil {
		v.Here = s.Wall.ID
	}
	v.Today = s.Now.Format("2006-01-02")
}

func sightOf(s *frame.Sheet, i int) sight {
	b := s.Board
	path := fmt.Sprintf("observed[%d]", i)
	typed := func(key string) string { return b.Typed(path + "." + key) }
	one := sight{Path: path, Value: typed("value"), Where: strings.Trim(typed("wall")+", "+typed("date"), ", "), Air: strings.Trim(typed("temp")+", "+typed("humidity"), ", ")}
	if one.Value == "" {
		one.Value = "nothing yet"
	}
	for _, w := range b.Plan.Warnings {
		if w.Path == path {
			one.Look = append(one.Look, frame.Sentence(w.What)+" "+frame.Sentence(w.Do))
		}
	}
	one.Entry = entry{Path: path, Title: "Wall " + fmt.Sprint(i+1), Wrong: frame.WrongAt(b, path), Fields: []frame.Field{
		frame.FieldOf(b, path+".of", "Which figure", ""), frame.FieldOf(b, path+".value", "Seen", "").Noted("with its unit, such as 14 min or 16 m2/h"),
		frame.FieldOf(b, path+".temp", "Air", "°C"), frame.FieldOf(b, path+".humidity", "Humidity", "%"),
		frame.FieldOf(b, path+".wall", "Where", ""), frame.FieldOf(b, path+".date", "Day", "")}}
	one.Entry.Fields[0].Wide = true
	for _, f := range one.Entry.Fields {
		one.Look = append(one.Look, f.Wrong...)
	}
	one.Look = append(one.Look, one.Entry.Wrong...)
	return one
}
