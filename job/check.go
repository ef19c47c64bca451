package job

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"time"
)

// Check finds what makes no sense in a job by itself, all at once, sorted by
// place: missing values, names given twice, references to nothing, values that
// contradict each other. What Read has reported is not reported again.
func (f *File) Check() []Problem {
	c := &checker{file: f}
	c.missing("", reflect.ValueOf(f.Job).Elem())
	c.crew()
	c.climate()
	c.finishes()
	c.colours()
	c.rooms()
	c.prices()
	c.terms()
	c.figures()
	c.observed()
	c.alternatives()
	c.diary()
	c.agreed()
	return f.Placed(c.problems)
}

type checker struct {
	file     *File
	problems []Problem
}

func (c *checker) add(path, what, do string) {
	c.problems = append(c.problems, Problem{Path: path, What: what, Do: do})
}

// lack notes a value that is missing.
func (c *checker) lack(path, do string) {
	c.add(path, "the field "+path[strings.LastIndex(path, ".")+1:]+" is missing", do)
}

// missing looks for fields that must be given.
func (c *checker) missing(path string, v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			c.missing(path, v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			if sub := fmt.Sprintf("%s[%d]", path, i); !c.file.unread[sub] {
				c.missing(sub, v.Index(i))
			}
		}
	case reflect.Struct:
		for _, field := range shapes[v.Type()] {
			sub, value := join(path, field.key), v.Field(field.index)
			empty := value.IsZero() || value.Kind() == reflect.Slice && value.Len() == 0
			if empty && field.must {
				c.lack(sub, "add "+field.key+": "+field.doc)
			}
			c.missing(sub, value)
		}
	}
}

// unique notes names given twice. Case does not tell names apart, because it
// does not tell files apart everywhere.
type unique map[string]string

func (c *checker) once(seen unique, path, name, what string) {
	if name == "" {
		return
	}
	key := strings.ToLower(name)
	if first, twice := seen[key]; twice {
		c.add(path, fmt.Sprintf("%s is the name of another %s, in line %d", quoted(name), what, c.file.At(first).Line), "give it a name of its own")
		return
	}
	seen[key] = path
}

func (c *checker) crew() {
	crew := c.file.Job.Crew
	names := unique{}
	able := map[string]bool{}
	for i, p := range crew.People {
		path := fmt.Sprintf("crew.people[%d]", i)
		c.once(names, path+".name", p.Name, "person")
		for _, s := range p.Skills {
			able[s] = true
		}
		if len(p.Skills) == 0 {
			able["prepare"], able["lay"], able["work"] = true, true, true
		}
		if !p.Rate.Given() && !c.file.Job.Terms.Rate.Given() && c.file.whole("terms.rate") {
			c.lack(path+".rate", "add the price of an hour here, or terms.rate for everybody")
		}
	}
	for _, skill := range []string{"prepare", "lay", "work"} {
		if len(crew.People) > 0 && !able[skill] && c.file.whole("crew.people") {
			c.add("crew.people", "nobody in the crew can "+skill, "add "+skill+" to the skills of somebody")
		}
	}
	for i, span := range crew.Hours {
		if i > 0 && span.From < crew.Hours[i-1].To && !c.file.missed(fmt.Sprintf("crew.hours[%d]", i-1)) {
			c.add(fmt.Sprintf("crew.hours[%d]", i), "this begins before the hours above it end", "write the pieces of the day in order, without overlap")
		}
	}
	if day, err := time.Parse(time.DateOnly, string(crew.Start)); err == nil && c.file.whole("crew.days") {
		if !slices.Contains(crew.Days, day.Format("Mon")) {
			c.add("crew.start", fmt.Sprintf("%s is a %s, which is not worked", crew.Start, day.Weekday()), "choose one of the days worked: "+strings.Join(crew.Days, " "))
		}
		if slices.Contains(crew.Closed, crew.Start) {
			c.add("crew.start", string(crew.Start)+" is one of the closed days", "choose a day that is worked")
		}
	}
	for i, day := range crew.Days {
		if slices.Contains(crew.Days[:i], day) {
			c.add(fmt.Sprintf("crew.days[%d]", i), day+" is given twice", "keep one of them")
		}
	}
	for i, pin := range crew.Pins {
		c.pin(fmt.Sprintf("crew.pins[%d]", i), pin)
	}
}

// pin looks at one pin by itself; whether its steps exist is for the programme to say.
func (c *checker) pin(path string, p Pin) {
	switch {
	case p.Day != "" && p.After != "":
		c.add(path, "both day and after are given", "keep one of them; a second pin can hold the other")
	case p.Day == "" && p.After == "" && !c.file.missed(path+".day") && !c.file.missed(path+".after"):
		c.add(path, "neither day nor after is given", "add the day before which the step does not begin, or the step it comes after")
	case p.After != "" && p.After == p.Step:
		c.add(path+".after", "the step would come after itself", "name another step")
	}
}

// climate must be known for every room.
func (c *checker) climate() {
	temp, humidity := c.file.Job.Climate.Temp.Given(), c.file.Job.Climate.Humidity.Given()
	for i, r := range c.file.Job.Rooms {
		path := fmt.Sprintf("rooms[%d].climate", i)
		if !temp && !r.Climate.Temp.Given() && !c.file.missed(path+".temp") {
			c.lack("climate.temp", "add the temperature of the air; drying times depend on it")
			temp = true
		}
		if !humidity && !r.Climate.Humidity.Given() && !c.file.missed(path+".humidity") {
			c.lack("climate.humidity", "add the humidity of the air; drying times depend on it")
			humidity = true
		}
	}
}

func (c *checker) finishes() {
	ids := unique{}
	for i, f := range c.file.Job.Finishes {
		path := fmt.Sprintf("finishes[%d]", i)
		c.once(ids, path+".id", f.ID, "finish")
		for _, part := range []struct {
			key    string
			colour Colour
		}{{"ground", f.Ground}, {"ground-b", f.GroundB}, {"glaze", f.Glaze}, {"glaze-b", f.GlazeB}} {
			if part.colour.Name == "" && part.colour.Hex != "" {
				c.lack(path+"."+part.key+".name", "add the name of the colour; buckets are labelled with it")
			}
			if part.colour.Name != "" && part.colour.Hex == "" {
				c.lack(path+"."+part.key+".hex", `add its look on screen, such as hex: "#d8c7a4"`)
			}
		}
		if f.LetDown.Reading != "" && !f.LetDown.Percent.Given() {
			c.lack(path+".let-down.percent", "add how much thinner goes in, or leave let-down out")
		}
		if f.LetDown.Reading == "share" && f.LetDown.Percent.Value >= 1 {
			c.add(path+".let-down.percent", f.LetDown.Percent.Text+" of the mix is thinner, which leaves nothing else", "write less than 100 %, or reading: parts")
		}
		c.strips(path+".strips", f)
	}
}

func (c *checker) strips(path string, f Finish) {
	s := f.Strips
	ordered := []struct {
		key   string
		width Length
	}{{"narrowest", s.Narrowest}, {"wanted", s.Wanted}, {"widest", s.Widest}}
	last := ordered[0]
	for _, next := range ordered[1:] {
		if !next.width.Given() {
			continue
		}
		if last.width.Given() && next.width.Value < last.width.Value {
			c.add(path+"."+next.key, fmt.Sprintf("%s %s is less than %s %s", next.key, next.width.Text, last.key, last.width.Text), "write narrowest, wanted and widest in rising order")
		}
		last = next
	}
	switch {
	case s.Way == "feature" && s.Feature == "":
		c.lack(path+".feature", "add the name of the wall with equal ends")
	case s.Way != "feature" && s.Feature != "":
		c.add(path+".feature", "a feature wall counts only with way: feature", "write way: feature, or leave it out")
	case s.Feature != "" && c.file.whole("rooms") && !c.isWall(s.Feature, f.ID):
		c.add(path+".feature", quoted(s.Feature)+" is no wall with the finish "+f.ID, "write the name of one as Wall or Room/Wall")
	}
}

// isWall reports whether a wall with the finish has this name.
func (c *checker) isWall(name, finish string) bool {
	for _, r := range c.file.Job.Rooms {
		for _, w := range r.Walls {
			has := w.Finish == finish || w.Dado != nil && w.Dado.Finish == finish
			if has && (name == w.Name || name == r.Name+"/"+w.Name) {
				return true
			}
		}
	}
	return false
}

func (c *checker) prices() {
	prices := c.file.Job.Prices
	packs := map[string]string{}
	for i, p := range prices.Packs {
		path := fmt.Sprintf("prices.packs[%d]", i)
		if key := fmt.Sprintf("%s %g", p.Product, p.Litres); p.Product != "" && p.Litres > 0 {
			if first, twice := packs[key]; twice {
				c.add(path+".size", fmt.Sprintf("this size of %s is given before, in line %d", p.Product, c.file.At(first).Line), "keep one of them")
			} else {
				packs[key] = path + ".size"
			}
		}
		last := Break{1, p.Price}
		for k, b := range p.Breaks {
			at := fmt.Sprintf("%s.breaks[%d]", path, k)
			if b.From > 0 && b.From <= last.From {
				c.add(at+".from", fmt.Sprintf("%d is not more than the %d before it", b.From, last.From), "write the breaks in rising order")
			}
			if b.Price.Given() && last.Price.Given() && b.Price.Value >= last.Price.Value {
				c.add(at+".price", fmt.Sprintf("%s is not below the %s before it", b.Price.Text, last.Price.Text), "check the price, or take the break out")
			}
			last = b
		}
	}
	goods := unique{}
	for i, g := range prices.Goods {
		path := fmt.Sprintf("prices.goods[%d]", i)
		c.once(goods, path+".good", g.Good, "entry")
		if !g.Have && !g.Price.Given() {
			c.lack(path+".price", "add the price of a pack, or have: true when the crew owns it")
		}
	}
}

func (c *checker) terms() {
	t := c.file.Job.Terms
	if len(t.Stages) > 0 && c.file.whole("terms.stages") {
		sum := 0.0
		for _, s := range t.Stages {
			sum += float64(s.Share.Value)
		}
		if math.Abs(sum-1) > 1e-9 {
			c.add("terms.stages", fmt.Sprintf("the shares make %.6g %%", sum*100), "make them 100 % together")
		}
	}
	if t.Boards > 0 && !t.Board.Given() {
		c.lack("terms.sample-board", "add the price of a sample board")
	}
	if date := c.file.Job.Date; t.Until != "" && date != "" && t.Until < date {
		c.add("terms.valid-until", fmt.Sprintf("%s is before the date of the job, %s", t.Until, date), "write a later day")
	}
}

func (c *checker) figures() {
	of := unique{}
	for i, choice := range c.file.Job.Figures {
		path := fmt.Sprintf("figures[%d]", i)
		c.once(of, path+".of", choice.Of, "entry")
		_, own := c.file.Places[path+".value"]
		switch {
		case own && choice.Use != "":
			c.add(path, "both use and value are given", "keep one of them")
		case !own && choice.Use == "" && !c.file.missed(path+".use"):
			c.add(path, "neither use nor value is given", "name a rival figure with use, or give the crew's own with value")
		}
	}
}

func (c *checker) alternatives() {
	names := unique{}
	for i, a := range c.file.Job.Alternatives {
		path := fmt.Sprintf("alternatives[%d]", i)
		c.once(names, path+".name", a.Name, "alternative")
		for from, to := range a.Swap {
			at := join(path+".swap", from)
			c.finish(at, from)
			if to != from {
				c.finish(at, to)
			} else {
				c.add(at, "the finish is swapped for itself", "name another finish in its place")
			}
			if !c.used(from) && slices.Contains(c.finishIDs(), from) && c.file.whole("rooms") {
				c.add(at, "no wall has the finish "+quoted(from), "swap a finish that a wall has")
			}
		}
	}
}

// finish notes a reference to a finish that is not there.
func (c *checker) finish(path, id string) {
	ids := c.finishIDs()
	if id == "" || slices.Contains(ids, id) || !c.file.whole("finishes") {
		return
	}
	do := instead(id, ids)
	if len(ids) == 0 {
		do = "add it to finishes"
	}
	c.add(path, quoted(id)+" is not the id of a finish of this job", do)
}

func (c *checker) finishIDs() []string {
	var ids []string
	for _, f := range c.file.Job.Finishes {
		if f.ID != "" {
			ids = append(ids, f.ID)
		}
	}
	return ids
}

// used reports whether a wall has the finish.
func (c *checker) used(id string) bool {
	for _, r := range c.file.Job.Rooms {
		for _, w := range r.Walls {
			if w.Finish == id || w.Dado != nil && w.Dado.Finish == id {
				return true
			}
		}
	}
	return false
}
