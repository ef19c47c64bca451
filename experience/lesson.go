package experience

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/drying"
	"scumble/job"
	"scumble/unit"
)

// Lesson is a figure of the catalog with what a job saw of it, and what came of it.
type Lesson struct {
	Path     string         `json:"path"`
	Catalog  catalog.Figure `json:"catalog"` // before any wall, without its rivals
	Walls    []Wall         `json:"walls"`   // in the order of the job
	Spread   float64        `json:"spread"`  // standard deviation of the logarithm from wall to wall
	SpreadOf string         `json:"spreadOf"`
	Learned
	Overruled bool `json:"overruled,omitempty"` // the job sets this figure itself, and that counts
}

// Wall is one observation, in the unit of the figure.
type Wall struct {
	Entry  int     `json:"entry"`  // in the list of the job
	Value  float64 `json:"value"`  // brought to the reference air
	Factor float64 `json:"factor"` // by which the air it was seen in stretches the time; 1 for a pace
}

// dryings are the times of a product that somebody can see end on a wall.
var dryings = []string{"open", "touch", "recoat-from", "masking", "hard"}

// Learnable is a figure that walls can teach. why tells that none can teach it.
func Learnable(c *catalog.Catalog, path string) (f catalog.Figure, known bool, why error) {
	f, known = c.Figure(path)
	if !known {
		return f, false, nil
	}
	_, time, drying := dryingOf(path)
	switch {
	case drying && !slices.Contains(dryings, time):
		return f, true, errors.New("it is a limit, or a matter of weeks, that no wall shows")
	case strings.Contains(path, ".wait."):
		return f, true, errors.New("a wait is a rule; what is seen is a drying time of the product, such as products/oil-glaze/drying.touch")
	case !slices.Contains([]string{"h", "min", "m2/h", "m/h"}, f.Unit):
		return f, true, errors.New("it is neither a pace nor a time")
	}
	return f, true, check(f, nil, 1)
}

// dryingOf is the product and the time of a path such as products/oil-glaze/drying.open.
func dryingOf(path string) (product, time string, ok bool) {
	rest, ok := strings.CutPrefix(path, "products/")
	product, time, cut := strings.Cut(rest, "/drying.")
	return product, time, ok && cut
}

// Lessons learn from all a job has observed, by path. The spread from wall to wall is
// that of the defaults d. Entries without a figure are passed over; one that cannot be
// used is a problem at its place, and the others count.
func Lessons(j *job.Job, c *catalog.Catalog, d *catalog.Defaults) ([]Lesson, []job.Warning, []job.Problem) {
	byPath := map[string]*Lesson{}
	var problems []job.Problem
	for i := range j.Observed {
		o, at := &j.Observed[i], fmt.Sprintf("observed[%d]", i)
		if o.Of == "" {
			continue
		}
		prior, known, why := Learnable(c, o.Of)
		if !known || why != nil {
			what := "is no figure of the catalog"
			if why != nil {
				what = "cannot be learned: " + why.Error()
			}
			problems = append(problems, job.Problem{Path: at + ".of", What: o.Of + " " + what, Do: "correct the path, or take the entry out"})
			continue
		}
		value, err := o.In(prior.Unit)
		if err != nil {
			problems = append(problems, job.Problem{Path: at + ".value", What: err.Error(), Do: "correct the value"})
			continue
		}
		factor, err := stretch(o, c)
		if err != nil {
			problems = append(problems, job.Problem{Path: at + ".temp", What: "in this air " + o.Of + " cannot be seen: " + err.Error(), Do: "correct the air, or take the entry out"})
			continue
		}
		if byPath[o.Of] == nil {
			byPath[o.Of] = begin(o.Of, prior, d)
		}
		byPath[o.Of].Walls = append(byPath[o.Of].Walls, Wall{i, value / factor, factor})
	}
	var lessons []Lesson
	var warnings []job.Warning
	for _, l := range byPath {
		if err := l.learn(); err != nil {
			problems = append(problems, job.Problem{Path: fmt.Sprintf("observed[%d]", l.Walls[0].Entry), What: err.Error(), Do: "correct what is named, or take the entries of this figure out"})
			continue
		}
		warnings = append(warnings, l.warn(j)...)
		lessons = append(lessons, *l)
	}
	slices.SortFunc(lessons, func(a, b Lesson) int { return cmp.Compare(a.Path, b.Path) })
	slices.SortFunc(problems, func(a, b job.Problem) int { return cmp.Compare(a.Path, b.Path) })
	slices.SortFunc(warnings, func(a, b job.Warning) int { return cmp.Or(cmp.Compare(a.Path, b.Path), cmp.Compare(a.What, b.What)) })
	return lessons, warnings, problems
}

func begin(path string, prior catalog.Figure, d *catalog.Defaults) *Lesson {
	prior.Others = nil
	l := &Lesson{Path: path, Catalog: prior, Spread: d.PaceSpread.Likely, SpreadOf: "defaults/pace-spread"}
	if _, _, ok := dryingOf(path); ok {
		l.Spread, l.SpreadOf = d.OpenWall.Likely, "defaults/open-wall"
	}
	return l
}

func (l *Lesson) learn() (err error) {
	values := make([]float64, len(l.Walls))
	for i, w := range l.Walls {
		values[i] = w.Value
	}
	l.Learned, err = Learn(l.Catalog, values, l.Spread)
	return err
}

// stretch is by how much the air of an observation makes a drying time longer than the
// reference air: 1 where none is given, and for everything that does not dry.
func stretch(o *job.Observed, c *catalog.Catalog) (float64, error) {
	id, _, ok := dryingOf(o.Of)
	if !ok || !o.Temp.Given() || !o.Humidity.Given() {
		return 1, nil
	}
	air := drying.Air{Temp: o.Temp.Value, Humidity: o.Humidity.Value, Surface: o.Temp.Value}
	watch, err := drying.Steady(air).Watch(drying.Base(c.Products[id]))
	if err != nil {
		return 0, err
	}
	hour := unit.Range[unit.Hours]{Low: 1, Likely: 1, High: 1}
	taken, err := watch.Open(hour, 0, 1, 0)
	return float64(taken.Likely), err
}

// Span says a figure of this unit as people do, likely first. Hours that stay below two
// are said in minutes.
func (l *Lesson) Span(f catalog.Figure) string {
	number, measure := l.number(f.Likely)
	low, _ := l.number(f.Low)
	high, _ := l.number(f.High)
	if f.Low == f.High {
		return number + " " + measure
	}
	return number + " " + measure + ", from " + low + " to " + high
}

// Say says one value of this unit, likewise.
func (l *Lesson) Say(v float64) string {
	number, measure := l.number(v)
	return number + " " + measure
}

func (l *Lesson) number(v float64) (number, measure string) {
	if l.Catalog.Unit != "h" || l.Catalog.High > 2 {
		return unit.Short(math.Round(v*100) / 100), strings.Replace(l.Catalog.Unit, "m2", "m²", 1)
	}
	return unit.Short(math.Round(v*600) / 10), "min"
}

// warn tells of wild walls, of air that is missing, and where the job sets the figure
// itself: then nothing is learned, and Overruled is set.
func (l *Lesson) warn(j *job.Job) []job.Warning {
	var out []job.Warning
	for i, f := range j.Figures {
		if f.Of == l.Path {
			l.Overruled = true
			out = append(out, job.Warning{Path: fmt.Sprintf("figures[%d]", i), Name: l.Path,
				What: "the job sets this figure itself, so what was seen on your walls does not count",
				Do:   "take it out of figures to let your walls count, or leave it"})
		}
	}
	for _, w := range l.Wild {
		entry := l.Walls[w.Index].Entry
		what := j.Observed[entry].Value
		if l.Walls[w.Index].Factor != 1 {
			what += ", or " + l.Say(w.Value) + " at 23 °C and 50 %,"
		}
		what += " is outside " + l.Say(w.Low) + " to " + l.Say(w.High) + ", where the catalog and your other walls put it; it counts all the same"
		out = append(out, job.Warning{Path: fmt.Sprintf("observed[%d]", entry), Name: l.Path, What: what,
			Do: "correct it, or take it out if that wall was like no other"})
	}
	if _, _, dries := dryingOf(l.Path); !dries {
		return out
	}
	for _, w := range l.Walls {
		if o := &j.Observed[w.Entry]; !o.Temp.Given() {
			out = append(out, job.Warning{Path: fmt.Sprintf("observed[%d]", w.Entry), Name: l.Path,
				What: o.Value + " is taken as seen at 23 °C and 50 %, for the air is not given", Do: "give temp and humidity of that air"})
		}
	}
	return out
}
