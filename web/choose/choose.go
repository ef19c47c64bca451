// Package choose is the place where effect and colours are agreed: the wall large by day
// and by lamp, techniques in its own colours, colours tried before they are saved.
package choose

import (
	_ "embed"
	"fmt"
	"html/template"
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"scumble/appearance/colour"
	"scumble/appearance/finish"
	"scumble/catalog"
	"scumble/job"
	"scumble/web/board"
	"scumble/web/drawing"
	"scumble/web/frame"
)

//go:embed choose.html
var page string

// Place is the page.
func Place() *frame.Place {
	return &frame.Place{Slug: "choose", Name: "Choose", Page: page, Walled: true, Show: show, Routes: routes}
}

type view struct {
	Why          string
	Wide, Narrow template.HTML
	Lamps        string
	Fields       []part // above and below a dado
	Part         *part
	Advice       []advice
	Swatches     []swatch
	Room, Job    []frame.Field
	Missing      string // why there is no picture
}

// part is one face of the wall with its finish.
type part struct {
	Name     string
	Href     string
	Path     string // of the field that names the finish
	Finish   *job.Finish
	At       string // finishes[2]
	Here     bool
	Options  []option
	Finishes []frame.Choice
	Others   []string // other walls that wear it
	Picks    []pick
	Colours  []colourField
	Fields   []frame.Field
	OptionAt string
	Kept     bool // among the options already
	Copy     copyOf
	Boards   []sampleBoard
	BoardsAt string
}

// sampleBoard is what was seen or read on one board.
type sampleBoard struct {
	Path, Title string
	Fields      []frame.Field
	Seen        []frame.Choice
	Wrong       []string // with the board, and with what was seen on it
}

type option struct {
	Letter, ID, Name, Picture string
	Index                     int
	Chosen                    bool
}

type pick struct {
	ID, Name, Picture, Summary string
	Chosen                     bool
}

// colourField is one colour of a finish.
type colourField struct {
	Role, Words, Path string
	Hex, Name         string
	Measured          []frame.Choice
	Lab               string
}

// copyOf is a copy of the finish for this wall alone.
type copyOf struct{ ID string }

type advice struct {
	Kind, Claim, Figure, Enough string
}

type swatch struct{ Name, Hex, Figures string }

func show(s *frame.Sheet) (any, error) {
	v := &view{}
	if s.Wall == nil {
		v.Why = "There is no wall yet. Measure one first."
		return v, nil
	}
	v.Lamps = s.Wall.LampsOf(s.Board.Job)
	v.Fields = parts(s)
	for i := range v.Fields {
		if v.Fields[i].Here {
			v.Part = &v.Fields[i]
		}
	}
	v.Room = []frame.Field{lampField(s.Board, fmt.Sprintf("rooms[%d].lamps", s.Wall.RoomIndex), "Lamps of this room", "as in the whole job"),
		lampField(s.Board, "lamps", "Lamps of the job", "not said: A, an old bulb")}
	if s.Wall.Survey == nil {
		v.Missing = "The figures of this wall do not fit yet; its picture waits for them."
		return v, nil
	}
	draw(s, v)
	if v.Part != nil && v.Part.Finish != nil && s.Board.Plan.Catalog != nil {
		told(s, v)
	}
	return v, nil
}

// lampWords say what the lights of the CIE are like.
var lampWords = []frame.Choice{{Value: "A", Words: "A, an old bulb"}, {Value: "LED-B1", Words: "LED-B1, warm white LED"}, {Value: "LED-B2", Words: "LED-B2, warm white LED"}, {Value: "LED-B3", Words: "LED-B3, neutral LED"},
	{Value: "LED-B4", Words: "LED-B4, cool LED"}, {Value: "LED-B5", Words: "LED-B5, daylight LED"}, {Value: "LED-BH1", Words: "LED-BH1, LED with added red"}, {Value: "LED-RGB1", Words: "LED-RGB1, three-colour LED"},
	{Value: "LED-V1", Words: "LED-V1, violet-pumped LED"}, {Value: "LED-V2", Words: "LED-V2, violet-pumped LED"}, {Value: "FL2", Words: "FL2, cool white tube"}, {Value: "FL11", Words: "FL11, narrow-band tube"}, {Value: "FL12", Words: "FL12, warm narrow-band tube"}}

func lampField(b *board.Board, path, label, none string) frame.Field {
	return frame.FieldOf(b, path, label, "").From(append([]frame.Choice{{Words: none}}, lampWords...)...)
}

// draw shows the wall by day and by lamp.
func draw(s *frame.Sheet, v *view) {
	day := s.PictureURL(s.Wall, frame.BoardScale, "D65")
	lamp := s.PictureURL(s.Wall, frame.BoardScale, v.Lamps)
	label := fmt.Sprintf("%s in its finish, by day on the left of the plumb line and under %s on the right", s.Wall.Title(), v.Lamps)
	e := drawing.Elevation{Wall: s.Wall.Survey, Name: "w", Width: 850, Highest: 430, Picture: day, Label: label}
	split := drawing.Split{Elevation: e, Lamp: lamp, Left: "by day", Right: "under " + v.Lamps}
	v.Wide = split.Draw()
	split.Name, split.Width, split.Highest = "n", 330, 300
	v.Narrow = split.Draw()
	if day == "" {
		v.Missing = "No finish is chosen for this wall yet. Take a technique below to begin with."
	}
}

func parts(s *frame.Sheet) []part {
	w := s.Wall
	paths := []struct{ name, path, id string }{{"This wall", w.Path + ".finish", w.Typed.Finish}}
	if d := w.Typed.Dado; d != nil {
		paths[0].name = "Above the rail"
		paths = append(paths, struct{ name, path, id string }{"Below the rail", w.Path + ".dado.finish", d.Finish})
	}
	here := 0
	if s.Query.Get("part") == "dado" && len(paths) > 1 {
		here = 1
	}
	var out []part
	for i, p := range paths {
		one := part{Name: p.name, Path: p.path, Here: i == here, Href: s.Here()}
		if i == 1 {
			one.Href += "&part=dado"
		}
		one.Finish = s.Finish(p.id)
		for k := range s.Board.Job.Finishes {
			f := &s.Board.Job.Finishes[k]
			if f.ID == p.id {
				one.At = fmt.Sprintf("finishes[%d]", k)
			}
			one.Finishes = append(one.Finishes, frame.Choice{Value: f.ID, Words: f.Name, Chosen: f.ID == p.id})
		}
		if i == here {
			fill(s, &one)
		}
		out = append(out, one)
	}
	return out
}

// fill adds what the part that is open shows.
func fill(s *frame.Sheet, p *part) {
	w := s.Wall
	p.OptionAt = w.Path + ".options"
	for i, id := range w.Typed.Options {
		o := option{Letter: string(rune('A' + i%26)), ID: id, Name: id, Index: i, Picture: tryURL(s, "set:"+p.Path, id, 220), Chosen: p.Finish != nil && p.Finish.ID == id}
		if f := s.Finish(id); f != nil {
			o.Name = f.Name
		}
		p.Kept = p.Kept || o.Chosen
		p.Options = append(p.Options, o)
	}
	for _, id := range slices.Sorted(maps.Keys(s.Board.Plan.Catalog.Techniques)) {
		t := s.Board.Plan.Catalog.Techniques[id]
		p.Picks = append(p.Picks, pick{ID: id, Name: t.Name, Summary: t.Summary, Picture: techniqueURL(s, p, id), Chosen: p.Finish != nil && p.Finish.Technique == id})
	}
	if p.Finish == nil {
		return
	}
	p.Copy.ID = unusedID(s.Board.Job, p.Finish.ID)
	for i := range s.Walls {
		if other := &s.Walls[i]; other != w && (other.Typed.Finish == p.Finish.ID || other.Typed.Dado != nil && other.Typed.Dado.Finish == p.Finish.ID) {
			p.Others = append(p.Others, other.Title())
		}
	}
	p.Colours = colours(s, p)
	p.Fields = finishFields(s, p)
	sampleBoards(s, p)
}

// seenWords are how a board may differ from its picture.
var seenWords = []frame.Choice{{Value: "lighter", Words: "lighter"}, {Value: "darker", Words: "darker"}, {Value: "more-contrast", Words: "more contrast"}, {Value: "less-contrast", Words: "less contrast"}}

// sampleBoards are what was seen on the boards of a finish.
func sampleBoards(s *frame.Sheet, p *part) {
	p.BoardsAt = p.At + ".boards"
	for i, typed := range p.Finish.Boards {
		path := fmt.Sprintf("%s[%d]", p.BoardsAt, i)
		at := func(key, label, unit string) frame.Field { return frame.FieldOf(s.Board, path+"."+key, label, unit) }
		note := at("note", "Note", "")
		note.Wide = true
		one := sampleBoard{Path: path, Title: typed.Name, Wrong: slices.Concat(frame.WrongAt(s.Board, path), frame.WrongAt(s.Board, path+".seen")),
			Fields: []frame.Field{at("name", "On its back", ""), at("date", "Judged on", "").Noted("a day such as 2027-03-08"), at("light", "Lightest marks", "").Noted("such as #b9c6a4, or the name of a measured colour"),
				at("whole", "The whole, from a distance", ""), at("dark", "Darkest marks", ""), note}}
		if one.Title == "" {
			one.Title = fmt.Sprintf("Board %d", i+1)
		}
		for _, known := range seenWords {
			known.Chosen = slices.Contains(typed.Seen, known.Value)
			one.Seen = append(one.Seen, known)
		}
		p.Boards = append(p.Boards, one)
	}
}

// unusedID is an id no finish has: this one, or this one with a number.
func unusedID(j *job.Job, id string) string {
	for n := 1; ; n++ {
		fresh := id
		if n > 1 {
			fresh = fmt.Sprintf("%s-%d", id, n)
		}
		if !slices.ContainsFunc(j.Finishes, func(f job.Finish) bool { return f.ID == fresh }) {
			return fresh
		}
	}
}

var roleWords = map[string]string{"ground": "Ground", "ground-b": "Second ground", "glaze": "Glaze", "glaze-b": "Second glaze"}

func colours(s *frame.Sheet, p *part) []colourField {
	t := s.Board.Plan.Catalog.Techniques[p.Finish.Technique]
	var out []colourField
	for _, role := range []string{"ground", "ground-b", "glaze", "glaze-b"} {
		wanted := role == "ground" || role == "glaze"
		if t != nil {
			wanted = slices.ContainsFunc(t.Colours, func(r catalog.Role) bool { return string(r) == role })
		}
		path := p.At + "." + role
		hex := s.Typed(path + ".hex")
		if !wanted && hex == "" {
			continue
		}
		c := colourField{Role: role, Words: roleWords[role], Path: path, Hex: hex, Name: s.Typed(path + ".name")}
		if rgb, err := colour.ParseHex(hex); err == nil {
			lab := rgb.Lab()
			c.Lab = fmt.Sprintf("L* %.0f, a* %.0f, b* %.0f", lab.L, lab.A, lab.B)
		} else {
			c.Hex = "#cccccc"
		}
		if len(s.Board.Job.Measured) > 0 {
			typed := s.Typed(path + ".measured")
			c.Measured = []frame.Choice{{Words: "as seen on the screen", Chosen: typed == ""}}
			for _, m := range s.Board.Job.Measured {
				c.Measured = append(c.Measured, frame.Choice{Value: m.Name, Words: "measured: " + m.Name, Chosen: m.Name == typed})
			}
		}
		out = append(out, c)
	}
	return out
}

// finishFields are what else belongs to a finish.
func finishFields(s *frame.Sheet, p *part) []frame.Field {
	b, c := s.Board, s.Board.Plan.Catalog
	at := func(key, label, unit string) frame.Field { return frame.FieldOf(b, p.At+"."+key, label, unit) }
	name := at("name", "Name of the finish", "")
	name.Wide = true
	var products, clears []frame.Choice
	t := c.Techniques[p.Finish.Technique]
	for _, id := range slices.Sorted(maps.Keys(c.Products)) {
		choice := frame.Choice{Value: id, Words: c.Products[id].Name}
		if t != nil && slices.Contains(t.Glazes, id) {
			products = append(products, choice)
		}
		if c.Products[id].Role == "clear" {
			clears = append(clears, choice)
		}
	}
	out := []frame.Field{name, at("with", "Glaze", "").From(products...)}
	if t != nil && len(t.Variations) > 0 {
		choices := []frame.Choice{{Words: "as usual"}}
		for _, v := range t.Variations {
			choices = append(choices, frame.Choice{Value: v.ID, Words: v.Name})
		}
		out = append(out, at("variation", "Variation", "").From(choices...))
	}
	return append(out, at("clear", "Protective coat", "").From(append([]frame.Choice{{Words: "none"}}, clears...)...),
		at("light.least", "Light it must give back, at least", "%"), at("light.most", "and at most", "%"))
}

// tryURL is the address of the wall with something else in a field.
func tryURL(s *frame.Sheet, field, value string, width int) string {
	q := url.Values{"wall": {s.Wall.ID}, "revision": {strconv.Itoa(s.Revision.Number)}, field: {value}, "w": {strconv.Itoa(width)}}
	return "/jobs/" + s.Job.ID + "/try?" + q.Encode()
}

func techniqueURL(s *frame.Sheet, p *part, id string) string {
	q := url.Values{"revision": {strconv.Itoa(s.Revision.Number)}}
	if p.Finish != nil {
		q.Set("finish", p.Finish.ID)
	}
	return "/jobs/" + s.Job.ID + "/technique/" + id + ".jpg?" + q.Encode()
}

// told adds what the finish will do, in words with figures, and its colours.
func told(s *frame.Sheet, v *view) {
	w, err := wordsOf(s.Board, s.Board.Job, v.Part.Finish.ID, v.Lamps)
	if err != nil {
		v.Advice = []advice{{Kind: "caution", Claim: frame.Sentence(err.Error())}}
		return
	}
	v.Advice, v.Swatches = w.Advice, w.Swatches
}

// words are what a finish comes to.
type words struct {
	Advice   []advice
	Swatches []swatch
}

func wordsOf(b *board.Board, j *job.Job, id, lamps string) (*words, error) {
	f, _, err := finish.Agreed(j, b.Plan.Catalog, id)
	if err != nil {
		return nil, err
	}
	sw, err := finish.SwatchOf(f, b.Plan.Catalog)
	if err != nil {
		return nil, err
	}
	var asked job.Light
	for i := range j.Finishes {
		if j.Finishes[i].ID == id {
			asked = j.Finishes[i].Light
		}
	}
	out := &words{}
	out.Advice = append(out.Advice, advice{"note", fmt.Sprintf("It gives back %.0f of 100 of the light.", sw.LRV.Likely), fmt.Sprintf("Light reflectance value %.0f, from %.0f to %.0f with the film.", sw.LRV.Likely, sw.LRV.Low, sw.LRV.High), ""})
	for _, a := range finish.Advise(sw, b.Plan.Catalog.Defaults, lamps, asked) {
		kind := "note"
		if !a.Fits {
			kind = "caution"
		}
		out.Advice = append(out.Advice, advice{kind, frame.Sentence(a.Claim), frame.Sentence(a.Figure), frame.Sentence(a.Enough)})
	}
	for _, n := range f.Notes {
		out.Advice = append(out.Advice, advice{"note", frame.Sentence(n), "", ""})
	}
	add := func(name string, p finish.Patch) {
		out.Swatches = append(out.Swatches, swatch{name, p.Hex, fmt.Sprintf("L* %.0f a* %.0f b* %.0f, LRV %.0f", p.Lab.L, p.Lab.A, p.Lab.B, p.LRV)})
	}
	for i, p := range sw.Grounds {
		add([]string{"ground", "second ground"}[min(i, 1)], p)
	}
	if len(sw.Drawdowns) > 0 {
		for i, p := range sw.Drawdowns[0] {
			add([]string{"glaze as laid", "second glaze as laid"}[min(i, 1)], p)
		}
	}
	add("lightest marks", sw.Light)
	add("darkest marks", sw.Dark)
	add("the whole", sw.Whole)
	return out, nil
}

// suited is a finish as it would be in another technique: colours it lacks are made of
// those it has, colours it has no use for go, a glaze or variation that does not go with it
// is changed. The changes are named by field, so that they can be saved; undoing brings
// everything back.
func suited(f job.Finish, t *catalog.Technique) (job.Finish, map[string]string) {
	changes := map[string]string{"technique": t.ID}
	f.Technique = t.ID
	give := func(role string, into *job.Colour, from job.Colour, word string, by float64) {
		if into.Hex != "" || !slices.ContainsFunc(t.Colours, func(r catalog.Role) bool { return string(r) == role }) {
			return
		}
		*into = job.Colour{Name: strings.TrimSpace(from.Name + " " + word), Hex: darker(from.Hex, by)}
		changes[role+".name"], changes[role+".hex"] = into.Name, into.Hex
	}
	if f.Ground.Hex == "" {
		f.Ground = job.Colour{Name: "Ground, to be agreed", Hex: "#e6e2d6"}
		changes["ground.name"], changes["ground.hex"] = f.Ground.Name, f.Ground.Hex
	}
	if f.Glaze.Hex == "" {
		f.Glaze = job.Colour{Name: "Glaze, to be agreed", Hex: "#8a8f86"}
		changes["glaze.name"], changes["glaze.hex"] = f.Glaze.Name, f.Glaze.Hex
	}
	give("ground-b", &f.GroundB, f.Ground, "deep", 14)
	give("glaze-b", &f.GlazeB, f.Glaze, "deep", 10)
	drop := func(role string, of *job.Colour) {
		if of.Hex != "" && !slices.ContainsFunc(t.Colours, func(r catalog.Role) bool { return string(r) == role }) {
			*of = job.Colour{}
			for _, field := range []string{"name", "hex", "measured", "over-black", "clarity", "angles", "recipe"} {
				changes[role+"."+field] = ""
			}
		}
	}
	if !t.Strips {
		for _, field := range []string{"narrowest", "wanted", "widest", "sliver", "way", "feature", "count", "first", "lines"} {
			changes["strips."+field] = ""
		}
	}
	drop("ground-b", &f.GroundB)
	drop("glaze-b", &f.GlazeB)
	if !slices.Contains(t.Glazes, f.With) && len(t.Glazes) > 0 {
		f.With = t.Glazes[0]
		changes["with"] = f.With
	}
	if f.Variation != "" && !slices.ContainsFunc(t.Variations, func(v catalog.Variation) bool { return v.ID == f.Variation }) {
		f.Variation = ""
		changes["variation"] = ""
	}
	return f, changes
}

// darker is a colour so much lower in L*.
func darker(hex string, by float64) string {
	rgb, err := colour.ParseHex(hex)
	if err != nil {
		return "#8a8f86"
	}
	lab := rgb.Lab()
	lab.L = max(8, lab.L-by)
	return hexOf(lab)
}

// hexOf is the nearest colour of a screen to one told as L*, a*, b* under daylight.
func hexOf(lab colour.Lab) string {
	white := colour.Daylight().White()
	rgb, _ := lab.XYZ(white).RGB(white).Fit()
	return rgb.Hex()
}
