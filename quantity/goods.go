package quantity

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/method"
	"scumble/setout"
	"scumble/survey"
	"scumble/unit"
)

// service is all the work one tool or one kind of goods is used in.
type service struct {
	good   *catalog.Good
	crew   int             // most people in one step that uses it
	faces  map[string]bool // by ID, those of its rooms for a step of a room
	rooms  map[string]bool
	mixes  map[int]bool
	area   unit.Area   // gone over with it, every coat counted
	lifted unit.Volume // likely, taken off the walls with it
}

// walls are the measures of faces and rooms that goods are counted by.
type walls struct {
	painted map[string]unit.Area   // by face ID
	edges   map[string]unit.Length // by face ID
	joints  map[string]unit.Length // by face ID
	sheets  map[string]*setout.Sheets
	floor   map[string]unit.Area // by room
	faces   map[string][]string  // by room
}

// goods counts what is used up and the tools.
func (r *reckoner) goods(s *survey.Survey, so *setout.SetOut) {
	w := r.measures(s, so)
	services := r.services(w)
	for _, id := range sorted(services) {
		v := services[id]
		if v.good.Tool {
			r.out.Tools = append(r.out.Tools, r.tool(v, w))
		} else {
			r.out.Goods = append(r.out.Goods, r.usedUp(v, w))
		}
	}
}

// measures indexes the survey and the setting-out for the faces that have steps.
func (r *reckoner) measures(s *survey.Survey, so *setout.SetOut) walls {
	w := walls{
		painted: map[string]unit.Area{}, edges: map[string]unit.Length{}, joints: map[string]unit.Length{},
		sheets: map[string]*setout.Sheets{}, floor: map[string]unit.Area{}, faces: map[string][]string{},
	}
	for i := range r.method.Faces {
		f := &r.method.Faces[i]
		w.faces[f.Room] = append(w.faces[f.Room], f.ID)
		for k := range f.Steps {
			if f.Steps[k].Over == "joints" {
				w.joints[f.ID] = max(w.joints[f.ID], f.Steps[k].Length)
			}
		}
	}
	for i := range s.Rooms {
		room := &s.Rooms[i]
		w.floor[room.Name] = room.FloorStrip
		for k := range room.Walls {
			for n := range room.Walls[k].Faces {
				face := &room.Walls[k].Faces[n]
				w.painted[face.ID], w.edges[face.ID] = face.Painted(), face.Edges.Total()
			}
		}
	}
	for i := range so.Faces {
		w.sheets[so.Faces[i].ID] = so.Faces[i].Sheets
	}
	return w
}

// services gathers for each tool and each kind of goods the work it is used in.
func (r *reckoner) services(w walls) map[string]*service {
	all := map[string]*service{}
	enter := func(good *catalog.Good, step *method.Step) *service {
		v := all[good.ID]
		if v == nil {
			v = &service{good: good, faces: map[string]bool{}, rooms: map[string]bool{}, mixes: map[int]bool{}}
			all[good.ID] = v
		}
		v.crew = max(v.crew, step.Crew)
		v.rooms[step.Room] = true
		return v
	}
	each := func(step *method.Step, use func(v *service)) {
		for _, good := range step.Tools {
			use(enter(good, step))
		}
		for _, good := range step.Goods {
			if !slices.Contains(step.Tools, good) {
				use(enter(good, step))
			}
		}
	}
	for i := range r.method.Faces {
		for k := range r.method.Faces[i].Steps {
			step := &r.method.Faces[i].Steps[k]
			each(step, func(v *service) {
				v.faces[step.Face] = true
				v.area += step.Area
				if use := r.useOf[step.ID]; use != nil {
					v.lifted += use.Lifted.Likely
					v.mixes[r.mixOf[step.ID]] = true
				}
			})
		}
	}
	for i := range r.method.Rooms {
		for k := range r.method.Rooms[i].Steps {
			step := &r.method.Rooms[i].Steps[k]
			each(step, func(v *service) {
				v.area += step.Area
				for _, id := range w.faces[step.Room] {
					v.faces[id] = true
				}
			})
		}
	}
	return all
}

// count is how many of what a good is counted by, and the words for it.
func (r *reckoner) count(v *service, w walls) (float64, string) {
	switch v.good.Per {
	case "person":
		n := len(r.job.Crew.People)
		return float64(max(n, v.crew, 1)), "people"
	case "room":
		return float64(len(v.rooms)), "rooms"
	case "face":
		return float64(len(v.faces)), "walls"
	case "mix":
		return float64(len(v.mixes)), "mixes"
	case "field-m2":
		return float64(v.area), "m² worked"
	case "edge-m":
		return sum(v.faces, func(id string) float64 { return w.edges[id].Metres() }), "m of edge"
	case "joint-m":
		return sum(v.faces, func(id string) float64 { return w.joints[id].Metres() }), "m of strip joint"
	case "floor-m2":
		return sum(v.rooms, func(id string) float64 { return float64(w.floor[id]) }), "m² of floor along the walls"
	case "sheet":
		return sum(v.faces, func(id string) float64 {
			if sheets := w.sheets[id]; sheets != nil && sheets.Good == v.good.ID {
				return float64(sheets.Need)
			}
			return 0
		}), "sheets, their use again counted"
	}
	return 1, "job"
}

// sum adds in a fixed order, so that the last bit is always the same.
func sum(ids map[string]bool, of func(id string) float64) (total float64) {
	for _, id := range sorted(ids) {
		total += of(id)
	}
	return total
}

// usedUp is one line of goods.
func (r *reckoner) usedUp(v *service, w walls) Goods {
	g := Goods{Good: v.good}
	n, of := r.count(v, w)
	g.Need = n * v.good.Use.Likely
	switch use := v.good.Use.Likely; {
	case v.good.Per == "job":
		g.Reason = fmt.Sprintf("%s for the job.", amount(use, v.good.Unit))
	case use > 0 && use < 1:
		g.Reason = fmt.Sprintf("%s %s, one for every %s.", plain(n), of, plain(1/use))
	default:
		g.Reason = fmt.Sprintf("%s %s, %s for each.", plain(n), of, amount(use, v.good.Unit))
	}
	if worn, words := worn(v); worn > g.Need {
		g.Need, g.Reason = worn, words
	}
	if v.good.Unit == "each" || v.good.Unit == "sheet" {
		g.Need = whole(g.Need)
	}
	if byArea := v.good.Life != nil || v.good.Per == "field-m2" || v.good.Per == "sheet"; byArea && v.lifted > 0 && g.Need > 0 {
		g.Reason += fmt.Sprintf(" Each takes up about %s of glaze at most.", unit.Volume(float64(v.lifted)/g.Need))
	}
	g.Packs, g.PackOf, g.Cost, g.Priced, _ = r.goodPrice(v.good, g.Need)
	return g
}

// worn is how many are used up over the area gone over, where one lasts a known
// number of square metres, and the words for it.
func worn(v *service) (float64, string) {
	if v.good.Life == nil || v.good.Life.Likely <= 0 {
		return 0, ""
	}
	n := whole(float64(v.area) / v.good.Life.Likely)
	return n, fmt.Sprintf("%s m² worked, one lasts about %s m².", unit.Figure(float64(v.area), 1), plain(v.good.Life.Likely))
}

// tool is how many of a tool there must be: as many as are in use at once, or as
// many as wear out, whichever is more.
func (r *reckoner) tool(v *service, w walls) Tool {
	crew := max(v.crew, 1)
	teams := max(len(r.job.Crew.People)/crew, 1)
	at, words := 1.0, "the job"
	switch v.good.Per {
	case "person":
		teams = min(teams, max(len(v.faces), 1))
		at, words = float64(teams*crew), people(teams*crew)+" at once"
	case "room":
		at = float64(min(teams, len(v.rooms)))
		words = plain(at) + " room at a time"
		if at > 1 {
			words = plain(at) + " rooms at a time"
		}
	case "face":
		at = float64(min(teams, max(len(v.faces), 1)))
		words = plain(at) + " wall at a time"
		if at > 1 {
			words = plain(at) + " walls at a time"
		}
	case "job":
	default:
		at, words = r.count(v, w)
		words = plain(at) + " " + words
	}
	t := Tool{Good: v.good, Count: int(whole(at * v.good.Use.Likely))}
	t.Reason = fmt.Sprintf("%s, %s for each.", strings.ToUpper(words[:1])+words[1:], amount(v.good.Use.Likely, v.good.Unit))
	if v.good.Per == "job" {
		t.Reason = fmt.Sprintf("%s for the job.", amount(v.good.Use.Likely, v.good.Unit))
	}
	if n, words := worn(v); n > float64(t.Count) {
		t.Count, t.Reason = int(n), words
	}
	_, _, t.Cost, t.Priced, t.Have = r.goodPrice(v.good, float64(t.Count))
	return t
}

func people(n int) string {
	if n == 1 {
		return "one person"
	}
	return fmt.Sprintf("%d people", n)
}

// goodPrice finds the entry of the price list that covers a need at the least
// cost. What the crew owns costs nothing.
func (r *reckoner) goodPrice(good *catalog.Good, need float64) (packs int, of float64, cost unit.Money, priced, have bool) {
	for _, p := range r.job.Prices.Goods {
		if p.Good != good.ID {
			continue
		}
		if p.Have {
			return 0, p.Pack, 0, true, true
		}
		size := p.Pack
		if !(size > 0) {
			size = 1
		}
		n := int(min(whole(need/size), math.MaxInt32))
		asked := p.Price.Value * unit.Money(n)
		if !priced || asked < cost {
			packs, of, cost, priced = n, size, asked, true
		}
	}
	return packs, of, cost, priced, false
}

// whole rounds up, forgiving the last bits of a sum.
func whole(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	return math.Ceil(v - 1e-9)
}

func plain(v float64) string {
	if v == math.Trunc(v) {
		return unit.Figure(v, 0)
	}
	return unit.Figure(v, 1)
}

// amount names a number of units of goods.
func amount(v float64, of string) string {
	switch of {
	case "m2":
		return plain(v) + " m²"
	case "m":
		return plain(v) + " m"
	case "sheet":
		if v == 1 {
			return "1 sheet"
		}
		return plain(v) + " sheets"
	}
	return plain(v)
}
