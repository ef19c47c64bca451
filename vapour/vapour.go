// Package vapour is stage 8: what the mixes give off, against the limits of the
// catalog; how much solvent the air of each room holds from hour to hour, and when
// one may go back in; the rags that can heat by themselves; and the cautions that
// hold in a room with the paper each rests on. It defers to the product's own sheet
// and to local rules in everything.
package vapour

import (
	"fmt"
	"math"
	"slices"
	"time"

	"scumble/catalog"
	"scumble/job"
	"scumble/method"
	"scumble/quantity"
	"scumble/schedule"
	"scumble/survey"
	"scumble/unit"
)

// Air is what the job does to the air, and to those who breathe it.
type Air struct {
	Mixes    []Mix         `json:"mixes"` // in the order of the quantities
	Rooms    []Room        `json:"rooms"` // in the order of the survey, those with work in them
	Rags     []RagDay      `json:"rags"`  // days on which rags with oil glaze come about
	Notes    []string      `json:"notes"` // what the levels take for granted
	Warnings []job.Warning `json:"warnings"`
}

// Mix is what one ready mix gives off, as thinned in this job.
type Mix struct {
	ID        string                   `json:"id"` // of the quantities: "Z1"
	Name      string                   `json:"name"`
	Product   *catalog.Product         `json:"product"`
	Parts     unit.Ratio               `json:"parts"`     // thinner on one part
	Known     bool                     `json:"known"`     // false: the catalog has no figure, and all below is empty
	Actual    unit.Range[unit.Content] `json:"actual"`    // in a litre of ready mix, as the EU rule has it
	Regulated bool                     `json:"regulated"` // LessWater can be given
	LessWater unit.Range[unit.Content] `json:"lessWater"` // in a litre of ready mix without its water, as US rules have it
	Limits    []MixLimit               `json:"limits"`    // the EU first
}

// Apart are the mixes that differ: each product and thinning once, as its colour changes
// nothing of what it gives off.
func (a *Air) Apart() []Mix {
	var apart []Mix
	for _, m := range a.Mixes {
		if !slices.ContainsFunc(apart, func(o Mix) bool { return o.Product.ID == m.Product.ID && o.Parts == m.Parts }) {
			apart = append(apart, m)
		}
	}
	return apart
}

// Thinned is the product with its thinning, if it is thinned: "Oil glaze, 25 parts of thinner
// on 100".
func (m *Mix) Thinned() string {
	if m.Parts == 0 {
		return m.Product.Name
	}
	return fmt.Sprintf("%s, %s parts of thinner on 100", m.Product.Name, unit.Figure(100*float64(m.Parts), 0))
}

// MixLimit is one mix against one limit.
type MixLimit struct {
	Limit    *catalog.Limit           `json:"limit"`
	Name     string                   `json:"name"`
	Region   string                   `json:"region"`
	From     string                   `json:"from"` // date; "" = not known
	Verified bool                     `json:"verified"`
	Applies  string                   `json:"applies"`
	Basis    string                   `json:"basis"` // actual | less-water
	Content  unit.Range[unit.Content] `json:"content"`
	Most     unit.Content             `json:"most"`
	Verdict  string                   `json:"verdict"` // meets | likely | exceeds | unknown
	Thinning Thinning                 `json:"thinning"`
	Words    string                   `json:"words"`
}

// Room is the air of one room.
type Room struct {
	Name      string                   `json:"name"`
	Path      string                   `json:"path"`
	Floor     unit.Range[unit.Area]    `json:"floor"`
	FloorFrom string                   `json:"floorFrom"` // how the floor is known, words
	Volume    unit.Range[unit.Space]   `json:"volume"`
	Shut      unit.Range[unit.Changes] `json:"shut"`      // air changes with the windows shut
	Aired     unit.Range[unit.Changes] `json:"aired"`     // and open
	Solvent   unit.Range[unit.Mass]    `json:"solvent"`   // oil-borne, kg in all
	FromWater unit.Range[unit.Mass]    `json:"fromWater"` // of water-borne coats, kg: not compared with any limit
	Series    []Point                  `json:"series"`    // hourly, at the peak and when the windows move; empty without solvent
	Peak      Peak                     `json:"peak"`
	Mean      Mean                     `json:"mean"`    // the worst eight hours
	Limits    []RoomLimit              `json:"limits"`  // the EU first
	ReEntry   When                     `json:"reEntry"` // below the strictest limit at work for good
	Sleep     When                     `json:"sleep"`   // and below our own share of it
	SleepAt   unit.Level               `json:"sleepAt"` // that level
	Sections  []Section                `json:"sections"`
	Cautions  []Caution                `json:"cautions"`
}

// Shown is what a chart of a room with a series shows: whole days from the first, until the
// likely level has fallen to three times the lowest drawn, and the power of ten above the
// limits and all levels.
func (r *Room) Shown(lowest unit.Level) (from time.Time, days int, highest unit.Level) {
	last := r.Series[0].At
	from, highest = last.Truncate(24*time.Hour), 100
	for _, p := range r.Series {
		highest = max(highest, p.Level.High)
		if p.Level.Likely > 3*lowest || p.At.Before(r.Peak.At) {
			last = p.At
		}
	}
	for _, l := range r.Limits {
		highest = max(highest, 1.3*l.Most)
	}
	days = max(2, int(math.Ceil(last.Sub(from).Hours()/24+0.2)))
	return from, days, unit.Level(math.Pow(10, math.Ceil(math.Log10(float64(highest)))))
}

// Open are the spells in which the windows stand open, up to a time.
func (r *Room) Open(until time.Time) (spells [][2]time.Time) {
	for i := 1; i < len(r.Series) && !r.Series[i].At.After(until); i++ {
		if !r.Series[i].Aired {
			continue
		}
		if n := len(spells); n > 0 && r.Series[i-1].Aired && spells[n-1][1].Equal(r.Series[i-1].At) {
			spells[n-1][1] = r.Series[i].At
		} else {
			spells = append(spells, [2]time.Time{r.Series[i-1].At, r.Series[i].At})
		}
	}
	return spells
}

// Point is the level at one moment, mg/m3 as a mean over the room.
type Point struct {
	At    time.Time              `json:"at"`
	Level unit.Range[unit.Level] `json:"level"`
	Aired bool                   `json:"aired"` // the windows stood open up to then
}

// Peak is the highest level.
type Peak struct {
	At    time.Time              `json:"at"`   // of the likely one
	Step  string                 `json:"step"` // the solvent step then under way or last ended
	Level unit.Range[unit.Level] `json:"level"`
}

// Mean is the highest mean of eight hours one after the other, whoever is there.
type Mean struct {
	From  time.Time              `json:"from"`
	Level unit.Range[unit.Level] `json:"level"`
}

// RoomLimit is a room against one limit of solvent in the air.
type RoomLimit struct {
	Limit    *catalog.Limit         `json:"limit"`
	Name     string                 `json:"name"`
	Region   string                 `json:"region"`
	Verified bool                   `json:"verified"`
	Kind     string                 `json:"kind"` // eight-hours | ever | explosion
	Most     unit.Level             `json:"most"`
	Share    unit.Range[unit.Ratio] `json:"share"`  // of it reached: by the worst eight hours, or by the peak
	Hours    unit.Range[unit.Hours] `json:"hours"`  // during which the level is above it
	Needed   unit.Changes           `json:"needed"` // steady air changes, day and night, that just keep it; 0 = kept as it is
	Kept     bool                   `json:"kept"`   // in the likely case
	Beyond   bool                   `json:"beyond"` // no airing worth the name keeps it
}

// When is the earliest moment of something; a zero time is not within sight.
type When struct {
	Earliest time.Time `json:"earliest"`
	Likely   time.Time `json:"likely"`
	Latest   time.Time `json:"latest"`
}

// Section is a step whose wet edge wants the windows shut.
type Section struct {
	Step  string     `json:"step"`
	Face  string     `json:"face"`
	Start time.Time  `json:"start"`
	End   time.Time  `json:"end"`
	Shut  unit.Level `json:"shut"`  // likely, highest up to its end
	Open  unit.Level `json:"open"`  // were the windows open at every such step
	Above string     `json:"above"` // id of the highest limit passed while shut, "" for none
	Words string     `json:"words"`
}

// Reckon works out the air of a job. The error names a figure of the catalog that
// is missing.
func Reckon(s *survey.Survey, m *method.Method, q *quantity.Quantities, p *schedule.Programme, j *job.Job, c *catalog.Catalog) (*Air, error) {
	d := c.Defaults
	if d == nil {
		return nil, fmt.Errorf("defaults: the catalog has none; add air-shut, air-open, mixing, floor-guess, sleep-share and touch-left")
	}
	for _, f := range []struct {
		name string
		catalog.Figure
	}{{"air-shut", d.AirShut}, {"air-open", d.AirOpen}, {"mixing", d.Mixing}, {"floor-guess", d.FloorGuess}, {"sleep-share", d.SleepShare}, {"touch-left", d.TouchLeft}} {
		if !(f.Low > 0) {
			return nil, fmt.Errorf("defaults/%s: is %g; give a figure above zero", f.name, f.Low)
		}
	}
	if d.TouchLeft.High >= 1 {
		return nil, fmt.Errorf("defaults/touch-left: is %g; give a share under 1", d.TouchLeft.High)
	}
	r := &reckoner{siteDays: attendance(p), survey: s, method: m, programme: p, job: j, catalog: c,
		steps: map[string]*method.Step{}, uses: map[string]*quantity.Use{}, mixOf: map[string]*Mix{}}
	r.tasks = map[string][]*schedule.Task{}
	for i := range p.Tasks {
		r.tasks[p.Tasks[i].Room] = append(r.tasks[p.Tasks[i].Room], &p.Tasks[i])
	}
	for f := range m.Faces {
		for k := range m.Faces[f].Steps {
			r.steps[m.Faces[f].Steps[k].ID] = &m.Faces[f].Steps[k]
		}
	}
	for f := range m.Rooms {
		for k := range m.Rooms[f].Steps {
			r.steps[m.Rooms[f].Steps[k].ID] = &m.Rooms[f].Steps[k]
		}
	}
	r.mixes(q)
	r.notes()
	for i := range s.Rooms {
		r.room(&s.Rooms[i])
	}
	r.rags()
	return &r.out, nil
}

// reckoner holds what the parts of one reckoning share.
type reckoner struct {
	survey    *survey.Survey
	method    *method.Method
	programme *schedule.Programme
	job       *job.Job
	catalog   *catalog.Catalog
	steps     map[string]*method.Step  // by ID
	uses      map[string]*quantity.Use // by step ID
	mixOf     map[string]*Mix          // by step ID
	siteDays  []schedule.Piece
	tasks     map[string][]*schedule.Task // by room
	out       Air
}

func (r *reckoner) warn(path, name, what, do string, hold bool) {
	r.out.Warnings = append(r.out.Warnings, job.Warning{Path: path, Name: name, What: what, Do: do, Hold: hold})
}

// notes says what the levels take for granted.
func (r *reckoner) notes() {
	r.out.Notes = []string{
		"Levels are means over the room. Solvent vapour is heavier than air: near the floor, in a stairwell or a cellar below there is more.",
		"Windows are taken to be shut while a section with a wet edge is worked, unless the draught of the job says window or fan, and whenever nobody is on site, and open in the other hours between the first and the last work of a site day.",
		"All that is laid evaporates in the room, rags and papers included; what is spilt or used for cleaning is not counted.",
		"The product's own safety sheet, local limits and a licensed hygienist come first.",
	}
}
