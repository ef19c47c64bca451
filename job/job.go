// Package job is stage 1: the job file. It holds the types of a job as people
// type it, reads them from YAML with the place of every value, checks them, and
// takes in survey tables. It knows no catalog and computes nothing.
package job

import (
	"cmp"
	"slices"
	"time"

	"scumble/unit"
)

// Version is the version of the job format this program writes.
const Version = 1

// Typed keeps what a person typed beside the value it stands for.
type Typed[T ~float64] struct {
	Text  string `json:"typed"`
	Value T      `json:"value"`
}

// Given reports whether anything was typed.
func (t Typed[T]) Given() bool { return t.Text != "" }

// Or is the value, or d when nothing was typed.
func (t Typed[T]) Or(d T) T {
	if t.Given() {
		return t.Value
	}
	return d
}

// The measures a job file holds.
type (
	Length   = Typed[unit.Length]
	Volume   = Typed[unit.Volume]
	Mass     = Typed[unit.Mass]
	Temp     = Typed[unit.Temp]
	Area     = Typed[unit.Area]
	Humidity = Typed[unit.Humidity]
	Ratio    = Typed[unit.Ratio]
	Hours    = Typed[unit.Hours]
)

// Money keeps what was typed beside minor units of the job's currency.
type Money struct {
	Text  string     `json:"typed"`
	Value unit.Money `json:"value"`
}

// Given reports whether an amount was typed.
func (m Money) Given() bool { return m.Text != "" }

// Date is a day of the calendar, written 2027-03-08.
type Date string

// Moment is a minute of a day at the place of work, written 2027-03-09 14:00.
type Moment string

// Time is the moment as wall-clock time carried in UTC; zero where it is not given or is none.
func (m Moment) Time() time.Time {
	t, err := time.Parse("2006-01-02 15:04", string(m))
	if err != nil {
		return time.Time{}
	}
	return t
}

// Clock is a time of day in minutes after midnight, written 08:00.
type Clock int

// Span is a piece of the working day, written 08:00-12:00.
type Span struct {
	From Clock `json:"from"`
	To   Clock `json:"to"`
}

// The tags of the fields say what the reader, the checks, the schema and the
// reference need: yaml the key, doc what it is, one the words to choose from,
// within the bounds (typed like a value of the field), above a figure it must
// exceed, must "give" that it may not be missing, default what stands in for a
// missing value, sign "either" that a length may be negative, form the pattern
// of a text.

// Job is one job as written in its file.
type Job struct {
	Version      int           `yaml:"scumble" must:"give" within:"1..1" doc:"version of the format of this file, now 1" json:"scumble"`
	Name         string        `yaml:"name" must:"give" doc:"name of the job" json:"name"`
	Place        string        `yaml:"place" doc:"where the building stands" json:"place"`
	Client       string        `yaml:"client" doc:"who the work is for" json:"client"`
	Contractor   string        `yaml:"contractor" doc:"who does the work" json:"contractor"`
	Reference    string        `yaml:"reference" doc:"number of the job, printed on every sheet" json:"reference"`
	Date         Date          `yaml:"date" must:"give" doc:"day of the survey, also the date of the papers" json:"date"`
	Paper        string        `yaml:"paper" one:"A4|Letter" default:"A4" doc:"paper of the documents" json:"paper"`
	Lengths      string        `yaml:"lengths" one:"metric|imperial" default:"metric" doc:"how lengths are printed" json:"lengths"`
	Currency     string        `yaml:"currency" must:"give" form:"^[A-Z]{3}$" doc:"ISO 4217 code of the currency of all amounts, three capital letters" json:"currency"`
	Demo         bool          `yaml:"demo" doc:"prices and places of this job are invented" json:"demo"`
	Building     Building      `yaml:"building" doc:"what cautions the building itself brings" json:"building"`
	Crew         Crew          `yaml:"crew" doc:"who works and when" json:"crew"`
	Climate      Climate       `yaml:"climate" doc:"air of the rooms while the work goes on" json:"climate"`
	Kit          []Kit         `yaml:"kit" doc:"access equipment on site" json:"kit"`
	Lamps        string        `yaml:"lamps" one:"A|D50|D55|D65|D75|FL1|FL2|FL7|FL8|FL11|FL12|LED-B1|LED-B2|LED-B3|LED-B4|LED-B5|LED-BH1|LED-RGB1|LED-V1|LED-V2" default:"LED-B2" doc:"what the rooms are lit with after dark, as the CIE names kinds of light: A a filament lamp, LED-B1 (warm) to LED-B5 (cold) white LEDs, FL2 and FL11 fluorescent tubes" json:"lamps"`
	Measured     []Measured    `yaml:"measured" doc:"colours read with an instrument" json:"measured"`
	Tints        []Colour      `yaml:"tints" doc:"glazes that recipes mix from" json:"tints"`
	Finishes     []Finish      `yaml:"finishes" must:"give" doc:"the agreed finishes" json:"finishes"`
	Rooms        []Room        `yaml:"rooms" must:"give" doc:"the rooms as measured" json:"rooms"`
	Prices       Prices        `yaml:"prices" doc:"what the supplier of this job asks" json:"prices"`
	Terms        Terms         `yaml:"terms" doc:"how the job is priced" json:"terms"`
	Figures      []Choice      `yaml:"figures" doc:"figures of the catalog this crew replaces" json:"figures"`
	Observed     []Observed    `yaml:"observed" doc:"paces and times this crew saw on its own walls, from which the figures of the catalog are moved" json:"observed,omitempty"`
	Alternatives []Alternative `yaml:"alternatives" doc:"other ways to do the job, planned and priced beside it" json:"alternatives"`
	Diary        []Worked      `yaml:"diary" doc:"steps as they were really done; the rest is planned from there" json:"diary,omitempty"`
	Agreed       []Agreed      `yaml:"agreed" doc:"days that were promised; a later programme keeps to them where it can and tells what moved" json:"agreed,omitempty"`
}

// Building says what cautions the house itself brings.
type Building struct {
	Built    int  `yaml:"built" within:"1000..2100" doc:"year it was built; leave out when unknown" json:"built"`
	Occupied bool `yaml:"occupied" doc:"people live or work in it during the job" json:"occupied"`
}

// Crew is who works and when.
type Crew struct {
	People []Person `yaml:"people" must:"give" doc:"the applicators, at least one" json:"people"`
	Start  Date     `yaml:"start" must:"give" doc:"first day on site" json:"start"`
	Hours  []Span   `yaml:"hours" must:"give" doc:"pieces of the working day in order, such as 08:00-12:00" json:"hours"`
	Days   []string `yaml:"days" one:"Mon|Tue|Wed|Thu|Fri|Sat|Sun" default:"Mon|Tue|Wed|Thu|Fri" doc:"days of the week worked" json:"days"`
	Closed []Date   `yaml:"closed" doc:"days without work on site" json:"closed"`
	Travel Travel   `yaml:"travel" doc:"what getting there takes, each site day" json:"travel"`
	Pins   []Pin    `yaml:"pins" doc:"steps tied to a day or to another step" json:"pins"`
	From   Moment   `yaml:"planned-from" doc:"day and hour from which the rest is planned, once work has begun; default the latest time of the diary" json:"plannedFrom,omitempty"`
}

// WorksOn reports whether the crew works on a day.
func (c *Crew) WorksOn(day time.Time) bool {
	days := c.Days
	if len(days) == 0 {
		days = []string{"Mon", "Tue", "Wed", "Thu", "Fri"}
	}
	return slices.Contains(days, day.Format("Mon")) && !slices.Contains(c.Closed, Date(day.Format(time.DateOnly)))
}

// OpenHours are the first and the last hour of the crew's day, after midnight; eight and
// five where none are given.
func (c *Crew) OpenHours() (opens, closes time.Duration) {
	if len(c.Hours) == 0 {
		return 8 * time.Hour, 17 * time.Hour
	}
	return time.Duration(c.Hours[0].From) * time.Minute, time.Duration(c.Hours[len(c.Hours)-1].To) * time.Minute
}

// Pin ties a step of the programme to a day or to another step. One of Day and
// After is given.
type Pin struct {
	Step  string `yaml:"step" must:"give" doc:"which step, such as Parlour/North#glaze-1: room and wall as on the drawings, and the id of the step" json:"step"`
	Day   Date   `yaml:"day" doc:"the step begins on this day or later" json:"day"`
	After string `yaml:"after" doc:"another step; the pinned one begins after it has ended" json:"after"`
}

// Worked is one step as it was really done, or is in work.
type Worked struct {
	Step  string   `yaml:"step" must:"give" doc:"which step, such as Parlour/North#glaze-1: room and wall as on the drawings, and the id of the step" json:"step"`
	Began Moment   `yaml:"began" must:"give" doc:"when it was begun" json:"began"`
	Ended Moment   `yaml:"ended" doc:"when it was finished; leave out while it is in work" json:"ended,omitempty"`
	By    []string `yaml:"by" doc:"who did it, by the names of the crew; of two, the one who laid first" json:"by,omitempty"`
	Left  Hours    `yaml:"left" within:"0 h..1000 h" doc:"of a step in work: how long it still takes with the same hands; default its planned work less the working hours since it began" json:"left,omitzero"`
}

// Agreed is the day on which a step was promised to begin.
type Agreed struct {
	Step string `yaml:"step" must:"give" doc:"which step, such as Parlour/North#glaze-1" json:"step"`
	Day  Date   `yaml:"day" must:"give" doc:"day on which it begins" json:"day"`
}

// Person is one applicator.
type Person struct {
	Name   string   `yaml:"name" must:"give" doc:"name on the sheets, one of a kind" json:"name"`
	Skills []string `yaml:"skills" one:"prepare|lay|work" doc:"what the person can do; none given means all" json:"skills"`
	Off    []Date   `yaml:"off" doc:"days the person is away" json:"off"`
	Rate   Money    `yaml:"rate" above:"0" doc:"an hour; default terms.rate" json:"rate"`
}

// Travel is what getting there takes, for the crew together, each site day.
type Travel struct {
	Hours Hours `yaml:"hours" within:"0 h..16 h" doc:"a person, there and back" json:"hours"`
	Cost  Money `yaml:"cost" within:"0.." doc:"a day, for the crew together" json:"cost"`
}

// Climate is the air of a room while the work goes on.
type Climate struct {
	Temp     Temp      `yaml:"temp" within:"-20 C..50 C" doc:"temperature of the air by day; the mean of day and night where night is not given" json:"temp"`
	Humidity Humidity  `yaml:"humidity" within:"1 %..100 %" doc:"relative humidity of the air at that temperature" json:"humidity"`
	Night    Temp      `yaml:"night" within:"-20 C..50 C" doc:"temperature the air falls to before sunrise; the moisture in it stays, so it is damper then" json:"night,omitzero"`
	Outdoors Temp      `yaml:"outdoors" within:"-40 C..50 C" doc:"mean temperature of the open air, which outside walls feel" json:"outdoors,omitzero"`
	Draught  string    `yaml:"draught" one:"none|door|window|fan" default:"none" doc:"what moves the air along the walls while the glaze is worked" json:"draught,omitempty"`
	Changes  float64   `yaml:"air-changes" within:"0.01..100" doc:"how often in an hour the air of the room is renewed with the windows shut; default that of the catalog" json:"air-changes"`
	Aired    float64   `yaml:"aired" within:"0.01..100" doc:"the same with the windows open, or with a fan; default that of the catalog" json:"aired"`
	WaitBy   string    `yaml:"wait-by" one:"later|model|declared" default:"later" doc:"how long coats dry: the declared time, what the climate makes of it, or the later of both" json:"waitBy,omitempty"`
	Log      []Reading `yaml:"log" doc:"readings of a logger in the room, or of a typical year; they come before temp and night" json:"log,omitempty"`
}

// In is the climate of a room, whose own figures come before those of the job. A room with a
// temperature of its own has nights and a log of its own, or none.
func (c Climate) In(room Climate) Climate {
	if room.Temp.Given() {
		c.Temp, c.Night, c.Log = room.Temp, Temp{}, nil
	}
	if room.Night.Given() {
		c.Night = room.Night
	}
	if room.Humidity.Given() {
		c.Humidity = room.Humidity
	}
	if room.Outdoors.Given() {
		c.Outdoors = room.Outdoors
	}
	if room.Changes > 0 {
		c.Changes = room.Changes
	}
	if room.Aired > 0 {
		c.Aired = room.Aired
	}
	c.Draught, c.WaitBy = cmp.Or(room.Draught, c.Draught), cmp.Or(room.WaitBy, c.WaitBy)
	if len(room.Log) > 0 {
		c.Log = room.Log
	}
	return c
}

// Reading is the air of a room at one moment.
type Reading struct {
	At       Moment   `yaml:"at" must:"give" doc:"day and time of the place of work, such as 2027-03-09 14:00" json:"at"`
	Temp     Temp     `yaml:"temp" must:"give" within:"-40 C..60 C" doc:"temperature of the air" json:"temp"`
	Humidity Humidity `yaml:"humidity" must:"give" within:"1 %..100 %" doc:"relative humidity of the air" json:"humidity"`
	Surface  Temp     `yaml:"surface" within:"-40 C..60 C" doc:"temperature of the wall; default that of the air" json:"surface,omitzero"`
}

// Kit is access equipment on site.
type Kit struct {
	Kind  string `yaml:"kind" must:"give" one:"steps|platform|scaffold" doc:"what it is" json:"kind"`
	Count int    `yaml:"count" within:"1..100" default:"1" doc:"how many" json:"count"`
	Cost  Money  `yaml:"cost" within:"0.." doc:"for the whole job, all of them" json:"cost"`
}

// Finish is one agreed finish: technique, glazes and colours.
type Finish struct {
	ID         string  `yaml:"id" must:"give" doc:"short name walls refer to" json:"id"`
	Name       string  `yaml:"name" doc:"name on the papers; default the id" json:"name"`
	Technique  string  `yaml:"technique" must:"give" doc:"id of a technique of the catalog" json:"technique"`
	Variation  string  `yaml:"variation" doc:"id of a variation of the technique" json:"variation"`
	Ground     Colour  `yaml:"ground" doc:"colour of the ground coat" json:"ground"`
	GroundB    Colour  `yaml:"ground-b" doc:"second ground colour, on alternate strips" json:"ground-b"`
	Glaze      Colour  `yaml:"glaze" doc:"colour of the first glaze" json:"glaze"`
	GlazeB     Colour  `yaml:"glaze-b" doc:"colour of the second glaze or tone" json:"glaze-b"`
	With       string  `yaml:"with" must:"give" doc:"id of the glaze product" json:"with"`
	GroundCoat string  `yaml:"ground-coat" doc:"id of the ground coat product; default satin-ground-coat" json:"ground-coat"`
	Clear      string  `yaml:"clear" doc:"id of the protective coat product; leave out for none" json:"clear"`
	LetDown    LetDown `yaml:"let-down" doc:"how much thinner goes in, when not as in the catalog" json:"let-down"`
	Strips     Strips  `yaml:"strips" doc:"wanted strips, when not as in the catalog" json:"strips"`
	Light      Light   `yaml:"light" doc:"how much light the finished wall is to give back" json:"light"`
	Boards     []Board `yaml:"boards" doc:"what was seen or read on sample boards; the pictures are adjusted to it" json:"boards"`
}

// Light is the light reflectance value (LRV) a finished wall is to have.
type Light struct {
	Least Ratio `yaml:"least" within:"0 %..100 %" doc:"least LRV asked for" json:"least"`
	Most  Ratio `yaml:"most" within:"0 %..100 %" doc:"greatest LRV asked for" json:"most"`
}

// Measured is a colour read with an instrument: a spectrum, or a CIELAB reading.
type Measured struct {
	Name   string    `yaml:"name" must:"give" doc:"name other fields refer to, one of a kind" json:"name"`
	From   int       `yaml:"from" within:"300..780" doc:"wavelength of the first value, nm" json:"from"`
	Step   int       `yaml:"step" within:"1..40" doc:"from one value to the next, nm" json:"step"`
	Values []float64 `yaml:"values" doc:"reflectance factor, 1 = perfect white" json:"values"`
	Lab    []float64 `yaml:"lab" doc:"L*, a* and b*, when there is no spectrum" json:"lab"`
	Under  string    `yaml:"under" one:"D50|D65" default:"D50" doc:"light the L*, a* and b* stand for" json:"under"`
	Source string    `yaml:"source" doc:"file and instrument it comes from" json:"source"`
}

// Board is what was seen on one sample board, or read from it.
type Board struct {
	Name  string   `yaml:"name" must:"give" doc:"what is written on its back" json:"name"`
	Date  Date     `yaml:"date" doc:"day it was judged" json:"date"`
	Seen  []string `yaml:"seen" one:"lighter|darker|more-contrast|less-contrast" doc:"how the board differs from the picture" json:"seen"`
	Light string   `yaml:"light" doc:"colour of its lightest marks, as #rrggbb or the name of a measured colour" json:"light"`
	Whole string   `yaml:"whole" doc:"colour of the whole, from a distance or as a mean of many readings" json:"whole"`
	Dark  string   `yaml:"dark" doc:"colour of its darkest marks" json:"dark"`
	Note  string   `yaml:"note" doc:"tool, hand, batch, anything worth keeping" json:"note"`
}

// Colour is a named colour of the job with its look on screen.
type Colour struct {
	Name string `yaml:"name" doc:"name of the colour in this job" json:"name"`
	Hex  string `yaml:"hex" form:"^#[0-9A-Fa-f]{6}$" doc:"its look on screen (sRGB), such as \"#d8c7a4\" in quotes; of a glaze the look of the laid coat over white" json:"hex"`
	// What pictures know beyond the look on screen.
	Measured  string `yaml:"measured" doc:"name of the measured colour that pictures use instead of hex; of a glaze the laid coat over white" json:"measured"`
	OverBlack string `yaml:"over-black" doc:"of a glaze: the laid coat over black, as #rrggbb or the name of a measured colour" json:"overBlack"`
	Clarity   Ratio  `yaml:"clarity" within:"0 %..100 %" doc:"of a glaze: 0 % hides what is beneath, 100 % is a clear stain; default that of the product" json:"clarity"`
	Angles    string `yaml:"angles" doc:"of a metallic glaze: names of three measured colours of the coat over white, read at 15, 45 and 110 degrees from the mirror direction, such as a15, a45, a110" json:"angles"`
	Recipe    string `yaml:"recipe" doc:"of a glaze: what is mixed, such as 3 Leaf + 1 Chalk, by the names of tints" json:"recipe"`
}

// LetDown overrides how much thinner goes in.
type LetDown struct {
	Percent Ratio  `yaml:"percent" within:"0 %..400 %" doc:"amount of thinner" json:"percent"`
	Reading string `yaml:"reading" one:"parts|share" doc:"parts = on 100 of product, share = of the finished mix; default parts" json:"reading"`
}

// Strips overrides the wanted setting-out.
type Strips struct {
	Narrowest Length `yaml:"narrowest" within:"20 mm..5 m" doc:"no strip narrower than this" json:"narrowest"`
	Wanted    Length `yaml:"wanted" within:"20 mm..5 m" doc:"the width aimed at" json:"wanted"`
	Widest    Length `yaml:"widest" within:"20 mm..5 m" doc:"no strip wider than this" json:"widest"`
	Sliver    Length `yaml:"sliver" within:"0 mm..1 m" doc:"no piece narrower than this at a corner or opening" json:"sliver"`
	Way       string `yaml:"way" one:"best|round|each-wall|feature" doc:"round = on round the corners, each-wall = every wall by itself, feature = equal ends on one wall; default best" json:"way"`
	Feature   string `yaml:"feature" doc:"name of the wall with equal ends, as Wall or Room/Wall" json:"feature"`
	Count     int    `yaml:"count" within:"2..10000" doc:"how many strips in all, to take one of the ways offered; leave out for the best" json:"count,omitempty"`
	First     Length `yaml:"first" within:"0 mm..200 m" doc:"where the first joint is along the run, to take one of several ways with the same count" json:"first"`
	Lines     string `yaml:"lines" one:"plumb|shared" doc:"what joints do towards a leaning corner: stay plumb, or share the lean out; default plumb" json:"lines"`
}

// Room is a run of walls in walking order, clockwise, seen from inside.
type Room struct {
	Name      string  `yaml:"name" must:"give" doc:"name of the room, one of a kind" json:"name"`
	Closed    bool    `yaml:"closed" doc:"the last wall meets the first" json:"closed"`
	Height    Length  `yaml:"height" within:"100 mm..50 m" doc:"floor to ceiling, for walls without a height of their own" json:"height"`
	Skirting  Length  `yaml:"skirting" within:"0 mm..2 m" doc:"height of the skirting; 0 for none" json:"skirting"`
	Cornice   Length  `yaml:"cornice" within:"0 mm..2 m" doc:"depth of the cornice below the ceiling; 0 for none" json:"cornice"`
	Substrate string  `yaml:"substrate" doc:"id of the substrate of the walls" json:"substrate"`
	Old       string  `yaml:"old" doc:"what is on the walls now, in words" json:"old"`
	OldColour Colour  `yaml:"old-colour" doc:"colour that is on the walls now, which the ground coats have to hide" json:"oldColour"`
	Lamps     string  `yaml:"lamps" one:"A|D50|D55|D65|D75|FL1|FL2|FL7|FL8|FL11|FL12|LED-B1|LED-B2|LED-B3|LED-B4|LED-B5|LED-BH1|LED-RGB1|LED-V1|LED-V2" doc:"default that of the job" json:"lamps"`
	Climate   Climate `yaml:"climate" doc:"air of this room, when not as in the rest of the job" json:"climate"`
	Floor     Length  `yaml:"floor" within:"0 mm..20 m" doc:"width of floor protected along the walls; default 1 m" json:"floor"`
	FloorArea Area    `yaml:"floor-area" within:"0.5 m2..5000 m2" doc:"of the whole floor, for the air of the room; default worked out from the walls" json:"floor-area"`
	From      Date    `yaml:"from" doc:"no work here before this day" json:"from"`
	Closes    []Date  `yaml:"shut" doc:"days the room cannot be used" json:"shut"`
	Occupied  bool    `yaml:"occupied" doc:"people use the room during the job" json:"occupied"`
	Walls     []Wall  `yaml:"walls" must:"give" doc:"the walls in walking order, clockwise, seen from inside" json:"walls"`
}

// Wall is one face as measured. Give Height, or HeightRight and Ridge as well
// for slopes, or Outline for anything else.
type Wall struct {
	Name        string    `yaml:"name" must:"give" doc:"name of the wall, one of a kind in its room" json:"name"`
	Length      Length    `yaml:"length" within:"20 mm..200 m" doc:"along the floor" json:"length"`
	Height      Length    `yaml:"height" within:"100 mm..50 m" doc:"at the left; default the height of the room" json:"height"`
	HeightRight Length    `yaml:"height-right" within:"0 mm..50 m" doc:"at the right, where it differs from the left" json:"height-right"`
	Ridge       *Ridge    `yaml:"ridge" doc:"highest point of a gable" json:"ridge"`
	Outline     []Corner  `yaml:"outline" doc:"corners of a wall of any other shape, one after the other" json:"outline"`
	Skirting    Length    `yaml:"skirting" within:"0 mm..2 m" doc:"default that of the room" json:"skirting"`
	Cornice     Length    `yaml:"cornice" within:"0 mm..2 m" doc:"default that of the room" json:"cornice"`
	Dado        *Dado     `yaml:"dado" doc:"rail that parts the wall in two faces" json:"dado"`
	Finish      string    `yaml:"finish" doc:"id of a finish; leave out when the wall is not decorated" json:"finish"`
	Options     []string  `yaml:"options" doc:"ids of finishes kept side by side to choose from: A, B, C in this order" json:"options"`
	Substrate   string    `yaml:"substrate" doc:"default that of the room" json:"substrate"`
	Corner      string    `yaml:"corner" one:"internal|external|open" doc:"what follows this wall: a corner of the room, a corner that stands out, or nothing; default internal, open after the last wall of a room that is not closed" json:"corner"`
	LeanLeft    Length    `yaml:"lean-left" within:"-500 mm..500 mm" sign:"either" doc:"how far the left corner is out of plumb at the top; + is into this wall" json:"lean-left"`
	LeanRight   Length    `yaml:"lean-right" within:"-500 mm..500 mm" sign:"either" doc:"how far the right corner is out of plumb at the top; + is into this wall" json:"lean-right"`
	Surface     Temp      `yaml:"surface" within:"-20 C..50 C" doc:"temperature of a cold outside wall; default that of the air" json:"surface"`
	Outside     bool      `yaml:"outside" doc:"the open air is behind this wall; its surface lies between room and outdoors" json:"outside,omitempty"`
	Seen        int       `yaml:"seen" within:"1..5" default:"3" doc:"1 hardly seen to 5 the first thing seen" json:"seen"`
	Done        string    `yaml:"done" doc:"id of the last step that is finished here, such as ground-2" json:"done"`
	Ended       Moment    `yaml:"ended" doc:"when that step ended" json:"ended"`
	Openings    []Opening `yaml:"openings" doc:"doors, windows and things to work round" json:"openings"`
}

// Ridge is the highest point of a gable.
type Ridge struct {
	At     Length `yaml:"at" must:"give" within:"0 mm..200 m" doc:"distance from the left end" json:"at"`
	Height Length `yaml:"height" must:"give" within:"100 mm..50 m" doc:"above the floor" json:"height"`
}

// Corner is one point of an outline.
type Corner struct {
	X Length `yaml:"x" must:"give" within:"0 mm..200 m" doc:"distance from the left" json:"x"`
	Y Length `yaml:"y" must:"give" within:"0 mm..50 m" doc:"height above the floor" json:"y"`
}

// Dado parts a wall in two faces; the one below has a finish of its own.
type Dado struct {
	Height Length `yaml:"height" must:"give" within:"100 mm..10 m" doc:"top of the rail above the floor" json:"height"`
	Rail   Length `yaml:"rail" within:"0 mm..1 m" doc:"width of the rail, which is not painted here" json:"rail"`
	Finish string `yaml:"finish" doc:"id of the finish below the rail; leave out when it is not decorated" json:"finish"`
	Done   string `yaml:"done" doc:"id of the last step that is finished below the rail" json:"done"`
	Ended  Moment `yaml:"ended" doc:"when that step ended" json:"ended"`
}

// Opening is a hole in a wall or something to work round.
type Opening struct {
	Name    string   `yaml:"name" doc:"what it is called on the drawings; default its kind" json:"name"`
	Kind    string   `yaml:"kind" must:"give" one:"door|window|hatch|niche|fireplace|fixture" doc:"what it is" json:"kind"`
	Shape   string   `yaml:"shape" one:"rect|arch|round|outline" default:"rect" doc:"its shape" json:"shape"`
	Left    Length   `yaml:"left" within:"0 mm..200 m" doc:"from the left end of the wall to its nearest edge" json:"left"`
	Sill    Length   `yaml:"sill" within:"0 mm..50 m" doc:"from the floor to its lower edge; default 0" json:"sill"`
	Width   Length   `yaml:"width" within:"20 mm..50 m" doc:"across; the diameter when round" json:"width"`
	Height  Length   `yaml:"height" within:"20 mm..50 m" doc:"from its lower edge to its highest point" json:"height"`
	Rise    Length   `yaml:"rise" within:"1 mm..25 m" doc:"height of the curved part of an arch; default half the width" json:"rise"`
	Outline []Corner `yaml:"outline" doc:"corners, measured from the left end of the wall and the floor, for shape outline" json:"outline"`
	Reveal  Length   `yaml:"reveal" within:"0 mm..3 m" doc:"depth of the reveal on this side" json:"reveal"`
	Other   Length   `yaml:"reveal-other-side" within:"0 mm..3 m" doc:"depth of the reveal on the far side, for measuring" json:"reveal-other-side"`
	Paint   []string `yaml:"paint" one:"sides|head|sill" doc:"sides of the reveal that get the finish; none given means none" json:"paint"`
	Beyond  string   `yaml:"beyond" one:"same|different|none" doc:"finish of the far face, for measuring: the same, a different one, or none" json:"beyond"`
}

// Prices are what this job's supplier asks.
type Prices struct {
	Packs    []Pack      `yaml:"packs" doc:"packs of products" json:"packs"`
	Goods    []GoodPrice `yaml:"goods" doc:"packs of tools and things used up" json:"goods"`
	Leftover Ratio       `yaml:"leftover" within:"0 %..100 %" doc:"share of its price that an unopened litre is worth later; default 0" json:"leftover"`
}

// Pack is one size of one product.
type Pack struct {
	Product string  `yaml:"product" must:"give" doc:"id of the product" json:"product"`
	Size    string  `yaml:"size" must:"give" doc:"content, such as 2.5 L or 10 kg" json:"size"`
	Litres  float64 `yaml:"-" json:"amount"` // parsed Size: litres, or kg for goods by mass
	Price   Money   `yaml:"price" must:"give" above:"0" doc:"of one pack" json:"price"`
	Breaks  []Break `yaml:"breaks" doc:"lower prices for more packs, ascending" json:"breaks"`
	Stock   *int    `yaml:"stock" within:"0..1000000" doc:"at most so many can be had; leave out for any number" json:"stock"`
}

// Break is an all-units price from a count on.
type Break struct {
	From  int   `yaml:"from" must:"give" within:"2..1000000" doc:"from so many packs on" json:"from"`
	Price Money `yaml:"price" must:"give" above:"0" doc:"of each pack, all of them" json:"price"`
}

// GoodPrice is the price of a pack of goods.
type GoodPrice struct {
	Good  string  `yaml:"good" must:"give" doc:"id of the goods" json:"good"`
	Pack  float64 `yaml:"pack" within:"0.001..1000000" default:"1" doc:"units of the goods in a pack" json:"pack"`
	Price Money   `yaml:"price" within:"0.." doc:"of a pack" json:"price"`
	Have  bool    `yaml:"have" doc:"the crew owns it already" json:"have"`
}

// Terms are how the job is priced.
type Terms struct {
	Rule     string   `yaml:"rule" must:"give" doc:"id of the rule the paid area is measured by" json:"rule"`
	Overhead Ratio    `yaml:"overhead" within:"0 %..300 %" doc:"share added on all cost; default 0" json:"overhead"`
	Margin   Ratio    `yaml:"margin" within:"0 %..90 %" doc:"share of the price of the work before tax; default 0" json:"margin"`
	Tax      Ratio    `yaml:"tax" within:"0 %..100 %" doc:"added on the price; default 0" json:"tax"`
	TaxName  string   `yaml:"tax-name" doc:"what the tax is called" json:"tax-name"`
	Rate     Money    `yaml:"rate" above:"0" doc:"an hour, for people without a rate of their own" json:"rate"`
	Ask      string   `yaml:"ask" one:"likely|eight-in-ten" default:"likely" doc:"the price asked: the likely one, or the one that is enough eight times in ten" json:"ask"`
	Until    Date     `yaml:"valid-until" doc:"last day the quote stands" json:"valid-until"`
	Stages   []Stage  `yaml:"stages" doc:"part payments; their shares make 100 %" json:"stages"`
	Boards   int      `yaml:"sample-boards" within:"0..1000" doc:"how many sample boards are charged" json:"sample-boards"`
	Board    Money    `yaml:"sample-board" within:"0.." doc:"price of a sample board, nothing is added to it" json:"sample-board"`
	Once     []Item   `yaml:"once" doc:"lump sums as agreed, nothing is added to them" json:"once"`
	Exclude  []string `yaml:"not-included" doc:"what the price does not hold, in words" json:"not-included"`
	Seed     int64    `yaml:"seed" doc:"start of the random numbers behind the range of the price" json:"seed"`
}

// Stage is a part payment.
type Stage struct {
	Name  string `yaml:"name" must:"give" doc:"when it falls due" json:"name"`
	Share Ratio  `yaml:"share" must:"give" within:"0 %..100 %" doc:"of the total" json:"share"`
}

// Item is a lump sum.
type Item struct {
	What  string `yaml:"what" must:"give" doc:"what it is for" json:"what"`
	Price Money  `yaml:"price" must:"give" above:"0" doc:"before tax" json:"price"`
}

// Choice picks one of the rival figures of the catalog, or sets one's own.
type Choice struct {
	Of    string  `yaml:"of" must:"give" doc:"which figure, such as techniques/frottage/section.width" json:"of"`
	Use   string  `yaml:"use" doc:"name of one of the rival figures of the catalog" json:"use"`
	Value float64 `yaml:"value" doc:"the crew's own, in the unit of the catalog" json:"value"`
	Why   string  `yaml:"why" must:"give" doc:"what it rests on; printed wherever the figure is" json:"why"`
}

// Observed is a pace or a time seen on a wall of the crew.
type Observed struct {
	Of       string   `yaml:"of" must:"give" doc:"which figure, such as techniques/dragging/pair.work or products/clear-glaze/drying.open" json:"of"`
	Value    string   `yaml:"value" must:"give" doc:"what was seen, with its unit, such as 14 min or 16 m2/h" json:"value"`
	Temp     Temp     `yaml:"temp" within:"-20 C..50 C" doc:"of a drying time: temperature of the air it was seen in; default 23 C" json:"temp"`
	Humidity Humidity `yaml:"humidity" within:"1 %..100 %" doc:"of a drying time: humidity of that air; default 50 %" json:"humidity"`
	Wall     string   `yaml:"wall" doc:"where it was seen, in words" json:"wall"`
	On       Date     `yaml:"date" doc:"day it was seen" json:"date"`
}

// Alternative is another way to do the job, planned and priced beside it.
type Alternative struct {
	Name string            `yaml:"name" must:"give" doc:"name of the alternative, one of a kind" json:"name"`
	Swap map[string]string `yaml:"swap" must:"give" doc:"id of a finish of the job: id of the finish in its place" json:"swap"`
}

// Warning is something the user should know, as a value in a result.
type Warning struct {
	Path string `json:"path"` // of the room or wall, e.g. rooms[1].walls[0]
	Name string `json:"name"` // the same for people, e.g. Breakfast room/North
	What string `json:"what"`
	Do   string `json:"do"`
	Hold bool   `json:"hold"` // nobody goes on until this is checked
}
