// Package catalog is the one data folder of the program: every figure about the
// world (products, techniques, output rates, measuring rules, limits, cautions)
// lies here, one record a file, with its unit, its footing and its source.
// Code elsewhere holds formulas only.
//
// Field tags say what the loader checks: need (must be given), unit (of a
// figure), oneof (closed list) and ref (the table an id must stand in).
package catalog

// Kind tells what a figure rests on.
type Kind string

// The four footings a figure can have. They print as the letters P, C, M, D.
const (
	Published Kind = "published"       // read in the source named
	Common    Kind = "common practice" // said in the trade, no published source
	Memory    Kind = "from memory"     // to be checked before it is relied on
	Demo      Kind = "demo"            // invented for the demonstration
	Own       Kind = "the crew's own"  // set in a job by those who do the work; prints as O
)

// Figure is one number about the world with everything needed to judge it.
type Figure struct {
	Low    float64 `yaml:"low" json:"low"`
	Likely float64 `yaml:"likely" json:"likely"`
	High   float64 `yaml:"high" json:"high"`
	Unit   string  `yaml:"unit" json:"unit"`
	Kind   Kind    `yaml:"kind" json:"kind"`
	Source string  `yaml:"source" json:"source,omitempty"` // id of a Source; required when published
	Note   string  `yaml:"note" json:"note,omitempty"`
	Name   string  `yaml:"name" json:"name,omitempty"` // names the figure among Others
	// Others are rival figures for the same thing; a job picks one by its name.
	// The figure itself is the default and Note says why.
	Others []Figure `yaml:"others" json:"others,omitempty"`
}

// Catalog is the whole set of records, by id. It is not changed after loading.
type Catalog struct {
	Techniques   map[string]*Technique
	Preparations map[string]*Preparation
	Products     map[string]*Product
	Goods        map[string]*Good
	Substrates   map[string]*Substrate
	Rates        map[string]*Rate
	Rules        map[string]*MeasuringRule
	Limits       map[string]*Limit
	Cautions     map[string]*Caution
	Sources      map[string]*Source
	Defaults     *Defaults
}

// Role is the part a product plays in a coat system.
type Role string

// Roles a step may ask for; the finish and the substrate settle the product.
const (
	RolePrimer  Role = "primer"
	RoleFiller  Role = "filler"
	RoleGround  Role = "ground"   // ground coat, colour A
	RoleGroundB Role = "ground-b" // second ground colour on alternate strips
	RoleGlaze   Role = "glaze"    // first glaze
	RoleGlazeB  Role = "glaze-b"  // second glaze or second tone
	RoleRelief  Role = "relief"   // primer that beds tissue
	RoleClear   Role = "clear"    // protective coat
)

// Technique is one broken-colour finish.
type Technique struct {
	ID         string              `yaml:"id" need:"yes"`
	Name       string              `yaml:"name" need:"yes"`
	Synonyms   map[string][]string `yaml:"synonyms"` // language -> words of the trade
	Summary    string              `yaml:"summary" need:"yes"`
	Mixed      bool                `yaml:"mixed"`                                                                               // the second glaze is worked into the first, and both lie in one film
	Strips     bool                `yaml:"strips"`                                                                              // set out in equal upright strips of two ground colours
	Colours    []Role              `yaml:"colours" need:"yes" oneof:"primer filler ground ground-b glaze glaze-b relief clear"` // colours a finish must name
	Glazes     []string            `yaml:"glazes" need:"yes" ref:"products"`                                                    // product ids that may be used
	Variations []Variation         `yaml:"variations"`
	Prepare    string              `yaml:"prepare" need:"yes" ref:"preparations"` // id of a Preparation
	Steps      []StepRule          `yaml:"steps" need:"yes"`
	Section    Section             `yaml:"section" need:"yes"`
	Pair       Pair                `yaml:"pair" need:"yes"`
	Rows       *Rows               `yaml:"rows"`   // combing: staggered rows
	Sheets     *Sheets             `yaml:"sheets"` // frottage, tissue: laid sheets
	StripWidth *StripWidth         `yaml:"strip-width"`
	Lifted     Figure              `yaml:"lifted" need:"yes" unit:"ratio"` // share of the laid glaze the tool takes away, ratio
	Strokes    map[string]*Figure  `yaml:"strokes" unit:"mm um ratio deg"` // measures of tool and stroke by name, for the picture of the wall
	Mark       string              `yaml:"mark"`                           // the stroke figure that is its largest mark, mm: a sample board holds two; empty where a small board holds many
	Faults     []Fault             `yaml:"faults" need:"yes"`
	TouchUp    string              `yaml:"touch-up" need:"yes"`
	Board      string              `yaml:"board" need:"yes"` // what a sample board must show
}

// Variation is a named way of doing the technique.
type Variation struct {
	ID   string `yaml:"id" need:"yes"`
	Name string `yaml:"name" need:"yes"`
	Do   string `yaml:"do" need:"yes"`
	One  bool   `yaml:"one-glaze"` // the first glaze alone is laid
}

// Section says how large a piece may be laid before it is worked.
type Section struct {
	Width  Figure `yaml:"width" need:"yes" unit:"mm"`  // mm
	Height Figure `yaml:"height" need:"yes" unit:"mm"` // mm; zero likely means full height
	CutIn  Figure `yaml:"cut-in" need:"yes" unit:"mm"` // mm of edge band laid ahead
}

// Pair is how two people share a wall: one lays the glaze, one works it. The paces are
// net of edges, setting up and waiting.
type Pair struct {
	Lay   Figure `yaml:"lay" need:"yes" unit:"m2/h"`  // by the one who lays
	Work  Figure `yaml:"work" need:"yes" unit:"m2/h"` // by the one who works the tool
	Cross bool   `yaml:"cross"`                       // the tool runs through the joints; else it stays within a section
	Clean Figure `yaml:"clean" need:"yes" unit:"m2"`  // worked between two cleanings of the tool
	Wipe  Figure `yaml:"wipe" need:"yes" unit:"min"`  // a cleaning takes
}

// Rows are staggered rows of equal motifs.
type Rows struct {
	Motif   Figure `yaml:"motif" need:"yes" unit:"mm"`      // mm, width of one curve or square
	Height  Figure `yaml:"height" need:"yes" unit:"mm"`     // mm of one row
	Stagger Figure `yaml:"stagger" need:"yes" unit:"ratio"` // share of a motif by which the next row is moved, ratio
}

// Sheets are papers laid on the wall with overlaps.
type Sheets struct {
	Good    string `yaml:"good" need:"yes" ref:"goods"` // id of the paper
	Overlap Figure `yaml:"overlap" need:"yes" unit:"mm"`
	Layers  Figure `yaml:"layers" need:"yes" unit:"ratio"` // how many times over the area, ratio
	Reuse   Figure `yaml:"reuse" need:"yes" unit:"ratio"`  // times a sheet can be used, ratio
}

// StripWidth is the wanted band of strip widths.
type StripWidth struct {
	Narrowest Figure `yaml:"narrowest" need:"yes" unit:"mm"` // mm
	Wanted    Figure `yaml:"wanted" need:"yes" unit:"mm"`    // mm
	Widest    Figure `yaml:"widest" need:"yes" unit:"mm"`    // mm
}

// Preparation is the work under the effect, shared by techniques.
type Preparation struct {
	ID    string     `yaml:"id" need:"yes"`
	Name  string     `yaml:"name" need:"yes"`
	Steps []StepRule `yaml:"steps" need:"yes"`
}

// StepRule is one step of a coat system as the catalog states it; package
// method turns it into a Step on a face.
type StepRule struct {
	ID        string     `yaml:"id" need:"yes"`
	Kind      string     `yaml:"kind" need:"yes" oneof:"protect prime fill sand ground mark mask relief glaze clear inspect unmask"` // see method.Kinds
	Title     string     `yaml:"title" need:"yes"`
	Do        string     `yaml:"do" need:"yes"`                                                         // what is done, in words for the person doing it
	Role      Role       `yaml:"role" oneof:"primer filler ground ground-b glaze glaze-b relief clear"` // product laid, empty for none
	Over      string     `yaml:"over" need:"yes" oneof:"field strips-b joints edges room"`              // field | strips-b | joints | edges | room
	Rate      string     `yaml:"rate" need:"yes" ref:"rates"`                                           // id of a Rate
	Crew      int        `yaml:"crew" need:"yes"`                                                       // people needed at once
	Lays      string     `yaml:"lays"`                                                                  // what the one who lays does (two-person steps)
	Works     string     `yaml:"works"`                                                                 // what the one who works does
	Edges     string     `yaml:"edges"`                                                                 // words for edges and corners
	Tools     []string   `yaml:"tools" ref:"goods"`                                                     // ids of Goods
	Goods     []string   `yaml:"goods" ref:"goods"`                                                     // ids of Goods used up
	Undiluted bool       `yaml:"undiluted"`
	WetEdge   bool       `yaml:"wet-edge"`           // must be carried to a corner without a stop
	Unbroken  bool       `yaml:"unbroken"`           // may not be stopped for lunch or night (implied by wet-edge)
	Dwell     *Figure    `yaml:"dwell" unit:"min"`   // minutes a sheet stays
	Spread    *Figure    `yaml:"spread" unit:"m2/L"` // of ready mix in this step; nil = the product's own
	Wait      []WaitRule `yaml:"wait"`
	Begin     string     `yaml:"begin"` // must be so before the step is begun
	Hold      string     `yaml:"hold"`  // check of what was done, before going on
	Cautions  []string   `yaml:"cautions" ref:"cautions"`
	Optional  string     `yaml:"optional" oneof:"clear mask"` // condition: "clear" (only when the finish asks for a clear coat), "mask"
}

// WaitRule is a drying or waiting time before this step may start.
type WaitRule struct {
	After string  `yaml:"after"`                            // step id in the same coat system; "" = the step before
	Glaze string  `yaml:"glaze" oneof:"oil metallic water"` // oil | metallic | water: only when this step's finish uses such a glaze; "" always
	From  Figure  `yaml:"from" need:"yes" unit:"h"`         // h at 23 C and 50 % RH
	Until *Figure `yaml:"until" unit:"h"`                   // h, latest start; nil = no limit
	Why   string  `yaml:"why" need:"yes"`                   // what goes wrong otherwise
}

// Fault is what can go wrong, why, and how it is put right.
type Fault struct {
	Fault   string `yaml:"fault" need:"yes"`
	Cause   string `yaml:"cause" need:"yes"`
	Correct string `yaml:"correct" need:"yes"`
}

// Product is a generic coating, filler or thinner; no brand.
type Product struct {
	ID          string    `yaml:"id" need:"yes"`
	Name        string    `yaml:"name" need:"yes"`
	Role        Role      `yaml:"role" oneof:"primer filler ground ground-b glaze glaze-b relief clear"` // the role it usually plays; empty for a thinner
	Family      string    `yaml:"family" need:"yes" oneof:"oil water metallic none"`                     // oil | water | metallic (a water-borne metallic) | none
	Tinted      bool      `yaml:"tinted"`                                                                // comes in any colour, so batches and boxing matter
	By          string    `yaml:"by" need:"yes" oneof:"volume mass"`                                     // volume | mass: how it is bought and laid
	Solids      Figure    `yaml:"solids" unit:"ratio"`                                                   // volume solids, ratio
	WetFilm     Figure    `yaml:"wet-film" unit:"um"`                                                    // um of ready mix on the wall per coat
	Spread      Figure    `yaml:"spread" unit:"m2/L m2/kg"`                                              // m2 per litre (or per kg) of ready mix as laid, one coat
	Density     Figure    `yaml:"density" need:"yes" unit:"kg/L"`                                        // kg/L
	Dilution    *Dilution `yaml:"dilution"`
	Clarity     *Figure   `yaml:"clarity" unit:"ratio"`         // of a laid coat: 1 less its contrast ratio (ISO 6504-3), ratio
	Flake       *Figure   `yaml:"flake" unit:"ratio"`           // what flakes of a laid coat add to the reflectance in the mirror direction, ratio
	FlakeTilt   *Figure   `yaml:"flake-tilt" unit:"deg"`        // standard deviation of the tilt of flakes, degrees
	Body        *Figure   `yaml:"body" unit:"Pas"`              // viscosity at rest once the tool has passed, Pa s
	Tension     *Figure   `yaml:"tension" unit:"mN/m"`          // surface tension, mN/m
	VOC         *Figure   `yaml:"voc" unit:"g/L"`               // g/L as sold
	Water       *Figure   `yaml:"water" unit:"ratio"`           // water in what is sold, share of its volume; nil = not known
	Gloss       *Figure   `yaml:"gloss" unit:"GU"`              // of the dry coat at 60 degrees, gloss units
	Loss        Figure    `yaml:"loss" need:"yes" unit:"ratio"` // share of what is bought, ratio
	Drying      Drying    `yaml:"drying"`
	MinTemp     Figure    `yaml:"min-temp" unit:"C"`         // C, film-forming or working minimum
	MaxHumidity Figure    `yaml:"max-humidity" unit:"ratio"` // ratio
	Cautions    []string  `yaml:"cautions" ref:"cautions"`
	Care        string    `yaml:"care"`     // for who lives with the coat
	Handling    string    `yaml:"handling"` // for who lays it
}

// Dilution says how a product is let down.
type Dilution struct {
	Parts   Figure `yaml:"parts" need:"yes" unit:"ratio"`     // parts of thinner on one part of product, ratio by volume
	Thinner string `yaml:"thinner" need:"yes" ref:"products"` // product id
	Note    string `yaml:"note"`
}

// Drying are the declared times at 23 C and 50 % RH, hours. Stages are separate
// events, not a ladder (ISO 9117-5).
type Drying struct {
	Open        Figure  `yaml:"open" unit:"h"`  // h, ASTM D7488 way
	Touch       Figure  `yaml:"touch" unit:"h"` // h
	RecoatFrom  Figure  `yaml:"recoat-from" unit:"h"`
	RecoatUntil *Figure `yaml:"recoat-until" unit:"h"`
	Masking     *Figure `yaml:"masking" unit:"h"` // until tape may be stuck on it
	Hard        Figure  `yaml:"hard" unit:"h"`
	Washable    *Figure `yaml:"washable" unit:"h"` // h
}

// Good is a tool or something used up: paper, tape, film, brush, roller.
type Good struct {
	ID     string  `yaml:"id" need:"yes"`
	Name   string  `yaml:"name" need:"yes"`
	Tool   bool    `yaml:"tool"`                                                                                   // kept, not used up
	Unit   string  `yaml:"unit" need:"yes" oneof:"each m m2 sheet"`                                                // each | m | m2 | sheet
	Per    string  `yaml:"per" need:"yes" oneof:"job person room face field-m2 edge-m joint-m floor-m2 sheet mix"` // what it is counted by: job | person | room | face | field-m2 | edge-m | joint-m | floor-m2 | sheet | mix
	Use    Figure  `yaml:"use" need:"yes" unit:"each m m2 sheet"`                                                  // how many Units per Per
	Soaks  bool    `yaml:"soaks"`                                                                                  // takes up what is laid: with drying oil in it, it heats by itself
	Life   *Figure `yaml:"life" unit:"m2"`                                                                         // m2 one tool lasts
	Width  *Figure `yaml:"width" unit:"mm"`                                                                        // mm
	Length *Figure `yaml:"length" unit:"mm"`                                                                       // mm
	Note   string  `yaml:"note"`
}

// Substrate is what the wall is made of.
type Substrate struct {
	ID           string `yaml:"id" need:"yes"`
	Name         string `yaml:"name" need:"yes"`
	Primer       string `yaml:"primer" need:"yes" ref:"products"` // product id
	Why          string `yaml:"why" need:"yes"`
	AreaFactor   Figure `yaml:"area-factor" need:"yes" unit:"ratio"`   // true over plan area, ratio
	PrimerSpread Figure `yaml:"primer-spread" need:"yes" unit:"ratio"` // share of the primer's spreading rate on this ground, ratio
	Check        string `yaml:"check" need:"yes"`
}

// Rate is an output rate of a person or a pair.
type Rate struct {
	ID    string `yaml:"id" need:"yes"`
	Name  string `yaml:"name" need:"yes"`
	Crew  int    `yaml:"crew" need:"yes"`
	Pace  Figure `yaml:"pace" need:"yes" unit:"m2/h m/h"` // m2/h or m/h for the crew together, gross
	Tall  Figure `yaml:"tall" need:"yes" unit:"ratio"`    // factor on time above reach from the floor, ratio
	SetUp Figure `yaml:"set-up" need:"yes" unit:"h"`      // h per face and visit
}

// MeasuringRule is a published way of measuring for payment; figures in m2 and m.
type MeasuringRule struct {
	ID          string      `yaml:"id" need:"yes"`
	Name        string      `yaml:"name" need:"yes"`
	Edition     string      `yaml:"edition" need:"yes"`
	Source      string      `yaml:"source" need:"yes" ref:"sources"`
	Verified    bool        `yaml:"verified"`
	Round       Figure      `yaml:"round" need:"yes" unit:"mm"`                       // mm to which dimensions are rounded first, half up
	Classes     []RuleClass `yaml:"classes" need:"yes"`                               // ascending; an opening falls in the first whose UpTo holds it
	Reveals     string      `yaml:"reveals" need:"yes" oneof:"never always by-class"` // never | always | by-class : are reveals paid
	LowSkirting Figure      `yaml:"low-skirting" need:"yes" unit:"mm"`                // mm: skirtings up to this are measured over; 0 = not
	Note        string      `yaml:"note" need:"yes"`
}

// RuleClass is one class of opening by size.
type RuleClass struct {
	UpTo    float64 `yaml:"up-to"`                                         // m2 inclusive; 0 = no upper end
	Deduct  string  `yaml:"deduct" need:"yes" oneof:"none whole by-faces"` // none | whole | by-faces (IS 1200-13 middle class)
	Reveals bool    `yaml:"reveals"`
	Why     string  `yaml:"why" need:"yes"`
}

// Limit is a legal or published bound, dated, with its state of verification.
type Limit struct {
	ID       string `yaml:"id" need:"yes"`
	Name     string `yaml:"name" need:"yes"`
	Region   string `yaml:"region" need:"yes"`
	From     string `yaml:"from"` // date; "" = not known
	Verified bool   `yaml:"verified"`
	Applies  string `yaml:"applies" need:"yes"`
	Value    Figure `yaml:"value" need:"yes"`

	// Of a limit on what a coating gives off: which coatings it is for (Roles and
	// Families; none named means all) and how their content is reckoned.
	Basis     string   `yaml:"basis" oneof:"actual less-water"`
	Roles     []Role   `yaml:"roles" oneof:"primer filler ground ground-b glaze glaze-b relief clear"`
	Families  []string `yaml:"families" oneof:"oil water metallic none"`
	GlossUpTo *Figure  `yaml:"gloss-up-to" unit:"GU"`
	GlossOver *Figure  `yaml:"gloss-over" unit:"GU"`
	// Of a limit on solvent in the air of a room: for the mean of eight hours, for
	// every moment, or for every moment because the air may explode.
	Air string `yaml:"air" oneof:"eight-hours ever explosion"`
}

// Caution is a warning shown where the hand is. Shape is note, caution or hold.
type Caution struct {
	ID     string `yaml:"id" need:"yes"`
	Shape  string `yaml:"shape" need:"yes" oneof:"note caution hold"`
	Title  string `yaml:"title" need:"yes"`
	Text   string `yaml:"text" need:"yes"`
	Defers string `yaml:"defers" need:"yes"` // whose word comes first
	Source string `yaml:"source" ref:"sources"`
	Kind   Kind   `yaml:"kind" need:"yes" oneof:"published, common practice, from memory, demo"`

	Household bool `yaml:"household"` // concerns who lives in the house as much as the crew
}

// Source is where figures were read.
type Source struct {
	ID   string `yaml:"id" need:"yes"`
	Cite string `yaml:"cite" need:"yes"`
	Year int    `yaml:"year" need:"yes"`                                     // 0 = undated
	Seen string `yaml:"seen" need:"yes" oneof:"text, second-hand, abstract"` // text | second-hand | abstract: how much of it was read
}

// Defaults are our own editable figures that no record of the trade holds.
type Defaults struct {
	Sliver         Figure `yaml:"sliver" need:"yes" unit:"mm"`  // mm
	OnEdge         Figure `yaml:"on-edge" need:"yes" unit:"mm"` // mm
	WidthWeight    Figure `yaml:"width-weight" need:"yes" unit:"ratio"`
	SliverWeight   Figure `yaml:"sliver-weight" need:"yes" unit:"ratio"`
	EdgeBonus      Figure `yaml:"edge-bonus" need:"yes" unit:"ratio"`
	SpreadWeight   Figure `yaml:"spread-weight" need:"yes" unit:"ratio"`
	ReachFloor     Figure `yaml:"reach-floor" need:"yes" unit:"mm"`      // mm reached from the floor
	ReachSteps     Figure `yaml:"reach-steps" need:"yes" unit:"mm"`      // mm reached from steps
	ReachPlatform  Figure `yaml:"reach-platform" need:"yes" unit:"mm"`   // mm reached from a platform; above: scaffold
	TouchUpReserve Figure `yaml:"touch-up-reserve" need:"yes" unit:"L"`  // L kept per room and colour
	DewMargin      Figure `yaml:"dew-margin" need:"yes" unit:"K"`        // K
	HumidityHold   Figure `yaml:"humidity-hold" need:"yes" unit:"ratio"` // ratio
	MarkingPace    Figure `yaml:"marking-pace" need:"yes" unit:"m/h"`    // m of joint per hour
	PaceSpread     Figure `yaml:"pace-spread" need:"yes" unit:"ratio"`   // log-sd of paces per face
	CutInPace      Figure `yaml:"cut-in-pace" need:"yes" unit:"m/h"`     // edges brushed in, m/h
	Tray           Figure `yaml:"tray" need:"yes" unit:"L"`              // of mix in a filling
	Refill         Figure `yaml:"refill" need:"yes" unit:"min"`          // filling the tray
	Shift          Figure `yaml:"shift" need:"yes" unit:"min"`           // moving steps or a platform along the wall
	Climb          Figure `yaml:"climb" need:"yes" unit:"min"`           // up or down
	OpenWall       Figure `yaml:"open-wall" need:"yes" unit:"ratio"`     // log-sd of open time from wall to wall
	OpenJoint      Figure `yaml:"open-joint" need:"yes" unit:"ratio"`    // log-sd of open time from joint to joint on a wall
	LapChance      Figure `yaml:"lap-chance" need:"yes" unit:"ratio"`    // of a lap mark on a wall that is accepted
	Retarder       Figure `yaml:"retarder" need:"yes" unit:"ratio"`      // factor of a retarder on the open time of a water-borne glaze
	AirDoor        Figure `yaml:"air-door" need:"yes" unit:"m/s"`        // along a wall with a door open
	AirWindow      Figure `yaml:"air-window" need:"yes" unit:"m/s"`      // along a wall with a window open
	AirFan         Figure `yaml:"air-fan" need:"yes" unit:"m/s"`         // along a wall in the stream of a fan
	OutsideShare   Figure `yaml:"outside-share" need:"yes" unit:"ratio"` // of the way from room to open air at which an outside wall's surface lies
	SeenStrips     Figure `yaml:"seen-strips" need:"yes" unit:"dE"`      // CIEDE2000 between strips: hardly seen, seen, plain at 2 m
	SeenTurn       Figure `yaml:"seen-turn" need:"yes" unit:"dE"`        // CIEDE2000 by which a colour turns under lamps
	SeenThrough    Figure `yaml:"seen-through" need:"yes" unit:"dE"`     // CIEDE2000 at which an old colour counts as hidden
	SeenFilm       Figure `yaml:"seen-film" need:"yes" unit:"dE"`        // CIEDE2000 a fifth more glaze may make
	AirShut        Figure `yaml:"air-shut" need:"yes" unit:"1/h"`        // air changes with windows and doors shut
	AirOpen        Figure `yaml:"air-open" need:"yes" unit:"1/h"`        // air changes with windows open
	Mixing         Figure `yaml:"mixing" need:"yes" unit:"ratio"`        // K: by how much worse than perfect mixing the air clears
	TouchLeft      Figure `yaml:"touch-left" need:"yes" unit:"ratio"`    // share of a film's solvent still in it when it is dry to the touch
	FloorGuess     Figure `yaml:"floor-guess" need:"yes" unit:"ratio"`   // true floor over the floor guessed from the walls
	SleepShare     Figure `yaml:"sleep-share" need:"yes" unit:"ratio"`   // share of the limit at work below which a room is slept in
}

// Records print as their ids where a plan is written out: the record itself
// stands once, in the catalog.

// MarshalText is the id.
func (t *Technique) MarshalText() ([]byte, error) { return []byte(t.ID), nil }

// MarshalText is the id.
func (p *Product) MarshalText() ([]byte, error) { return []byte(p.ID), nil }

// MarshalText is the id.
func (g *Good) MarshalText() ([]byte, error) { return []byte(g.ID), nil }

// MarshalText is the id.
func (s *Substrate) MarshalText() ([]byte, error) { return []byte(s.ID), nil }

// MarshalText is the id.
func (r *Rate) MarshalText() ([]byte, error) { return []byte(r.ID), nil }

// MarshalText is the id.
func (r *MeasuringRule) MarshalText() ([]byte, error) { return []byte(r.ID), nil }

// MarshalText is the id.
func (c *Caution) MarshalText() ([]byte, error) { return []byte(c.ID), nil }

// MarshalText is the id.
func (l *Limit) MarshalText() ([]byte, error) { return []byte(l.ID), nil }
