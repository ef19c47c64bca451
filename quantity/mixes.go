package quantity

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/job"
	"scumble/method"
	"scumble/setout"
	"scumble/survey"
	"scumble/unit"
)

// Reckon works out what the steps of a job take: litres on the wall, mixes to make
// up, packs to buy, things used up and tools. The error lists every product that
// has no figures to reckon with.
func Reckon(s *survey.Survey, so *setout.SetOut, m *method.Method, j *job.Job, c *catalog.Catalog) (*Quantities, error) {
	r := &reckoner{job: j, catalog: c, method: m, at: map[batch]int{}, mixOf: map[string]int{}, useOf: map[string]*Use{}, said: map[string]bool{}}
	for f := range m.Faces {
		r.face(&m.Faces[f])
	}
	if len(r.faults) > 0 {
		return nil, errors.Join(r.faults...)
	}
	r.finishMixes()
	r.purchases()
	r.goods(s, so)
	return &r.out, nil
}

// reckoner holds what the stages of one reckoning share.
type reckoner struct {
	job     *job.Job
	catalog *catalog.Catalog
	method  *method.Method
	out     Quantities
	at      map[batch]int     // index of the mix
	rooms   []map[string]bool // per mix: the rooms it is used in
	mixOf   map[string]int    // step ID -> index of the mix
	useOf   map[string]*Use   // step ID -> use, once the mixes are complete
	said    map[string]bool   // faults and warnings already given
	faults  []error
}

// batch is what must be the same for two steps to draw from one bucket.
type batch struct {
	product string
	colour  string
	parts   int64 // thinner on one part, in millionths
}

// warn notes something once.
func (r *reckoner) warn(path, name, what, do string) {
	if !r.said[path+what] {
		r.said[path+what] = true
		r.out.Warnings = append(r.out.Warnings, job.Warning{Path: path, Name: name, What: what, Do: do})
	}
}

// look tells two colours apart: by name and by their look on screen.
func look(c job.Colour) string { return strings.ToLower(c.Name) + " " + strings.ToLower(c.Hex) }

// face adds what the steps of one face draw from their mixes.
func (r *reckoner) face(f *method.Face) {
	rough := lastFiller(f)
	for i := range f.Steps {
		step := &f.Steps[i]
		if step.Product == nil {
			continue
		}
		rate, ok := r.rate(f, step, i <= rough)
		if !ok {
			continue
		}
		use := Use{Step: step.ID, Face: f.ID, Area: step.Area, Rate: rate, Laid: laid(step.Area, rate)}
		if step.Kind == method.Glaze {
			share := f.Technique.Lifted
			use.Lifted = unit.Range[unit.Volume]{
				Low:    use.Laid.Low * unit.Volume(share.Low),
				Likely: use.Laid.Likely * unit.Volume(share.Likely),
				High:   use.Laid.High * unit.Volume(share.High),
			}
		}
		at := r.mix(step)
		mix := &r.out.Mixes[at]
		mix.Uses = append(mix.Uses, use)
		mix.Laid = mix.Laid.Plus(use.Laid)
		r.rooms[at][f.Room] = true
		r.mixOf[step.ID] = at
		if len(mix.Uses) == 1 {
			mix.Finish = f.Finish.ID
		} else if mix.Finish != f.Finish.ID {
			mix.Finish = ""
		}
	}
}

// lastFiller is the index of the last coat of filler: up to it the wall is as
// rough as its substrate, after it smooth. Without filler all coats are on the
// rough wall.
func lastFiller(f *method.Face) int {
	last := len(f.Steps)
	for i := range f.Steps {
		if f.Steps[i].Role == catalog.RoleFiller {
			last = i
		}
	}
	return last
}

// rate is the practical spreading rate of a step in m2 of plan area per litre of
// ready mix: the declared rate, less on a thirsty substrate (primer) and over the
// true area of a rough one. Rates by mass become rates by volume through density.
func (r *reckoner) rate(f *method.Face, step *method.Step, rough bool) (unit.Range[unit.Spread], bool) {
	p := step.Product
	figure := p.Spread
	byMass := p.By == "mass"
	if step.Spread != nil {
		figure, byMass = *step.Spread, step.Spread.Unit == "m2/kg"
	}
	rate := unit.Range[unit.Spread]{Low: unit.Spread(figure.Low), Likely: unit.Spread(figure.Likely), High: unit.Spread(figure.High)}
	if byMass {
		rate = rate.Times(p.Density.Likely)
	}
	if f.Substrate != nil {
		if step.Role == catalog.RolePrimer {
			rate = times(rate, f.Substrate.PrimerSpread)
		}
		if rough {
			rate = over(rate, f.Substrate.AreaFactor)
		}
	}
	switch {
	case !(rate.Low > 0) || math.IsInf(float64(rate.High), 0):
		r.fault("products/%s/spread: there is no spreading rate above zero for %s; give one in m2 per litre or per kg", p.ID, step.Rule)
	case !(p.Density.Likely > 0):
		r.fault("products/%s/density: there is no density above zero; give one in kg/L", p.ID)
	case !(p.Loss.Low >= 0 && p.Loss.High < 1):
		r.fault("products/%s/loss: the loss must be a share from 0 to under 1; correct it", p.ID)
	default:
		return rate, true
	}
	return rate, false
}

func (r *reckoner) fault(format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	if !r.said[text] {
		r.said[text] = true
		r.faults = append(r.faults, errors.New(text))
	}
}

func times(rate unit.Range[unit.Spread], f catalog.Figure) unit.Range[unit.Spread] {
	return unit.Range[unit.Spread]{Low: rate.Low * unit.Spread(f.Low), Likely: rate.Likely * unit.Spread(f.Likely), High: rate.High * unit.Spread(f.High)}
}

func over(rate unit.Range[unit.Spread], f catalog.Figure) unit.Range[unit.Spread] {
	return unit.Range[unit.Spread]{Low: rate.Low / unit.Spread(f.High), Likely: rate.Likely / unit.Spread(f.Likely), High: rate.High / unit.Spread(f.Low)}
}

// laid is litres on the wall: area / spreading rate, so the high rate gives the low litres.
func laid(area unit.Area, rate unit.Range[unit.Spread]) unit.Range[unit.Volume] {
	return unit.Range[unit.Volume]{
		Low:    unit.Volume(float64(area) / float64(rate.High)),
		Likely: unit.Volume(float64(area) / float64(rate.Likely)),
		High:   unit.Volume(float64(area) / float64(rate.Low)),
	}
}

// letters start the IDs of mixes, by the part first played.
var letters = map[catalog.Role]string{
	catalog.RolePrimer: "P", catalog.RoleRelief: "P", catalog.RoleFiller: "F", catalog.RoleGround: "G",
	catalog.RoleGroundB: "G", catalog.RoleGlaze: "Z", catalog.RoleGlazeB: "Z", catalog.RoleClear: "C",
}

// mix is the index of the mix a step draws from; a new one when it is the first.
func (r *reckoner) mix(step *method.Step) int {
	key := batch{step.Product.ID, look(step.Colour), int64(math.Round(float64(step.Let.Parts) * 1e6))}
	if at, ok := r.at[key]; ok {
		return at
	}
	letter, count := letters[step.Role], 1
	for i := range r.out.Mixes {
		if strings.HasPrefix(r.out.Mixes[i].ID, letter) {
			count++
		}
	}
	r.out.Mixes = append(r.out.Mixes, Mix{
		ID: fmt.Sprintf("%s%d", letter, count), Product: step.Product, Colour: step.Colour,
		Parts: step.Let.Parts, Thinner: step.Let.Thinner, Reading: step.Let.Reading, Percent: step.Let.Percent,
	})
	r.rooms = append(r.rooms, map[string]bool{})
	r.at[key] = len(r.out.Mixes) - 1
	return r.at[key]
}

// finishMixes works out each batch once all its uses are known.
func (r *reckoner) finishMixes() {
	for i := range r.out.Mixes {
		mix := &r.out.Mixes[i]
		p := mix.Product
		if p.Tinted && r.catalog.Defaults != nil {
			mix.Reserve = unit.Volume(r.catalog.Defaults.TouchUpReserve.Likely * float64(len(r.rooms[i])))
		}
		mix.Loss = unit.Ratio(p.Loss.Likely)
		mix.Ready = unit.Range[unit.Volume]{
			Low:    made(mix.Laid.Low, p.Loss.Low) + mix.Reserve,
			Likely: made(mix.Laid.Likely, p.Loss.Likely) + mix.Reserve,
			High:   made(mix.Laid.High, p.Loss.High) + mix.Reserve,
		}
		mix.Stock, mix.Thin = split(mix.Ready.Likely, mix.Parts)
		mix.StockMass, mix.ThinMass = mix.weigh(mix.Stock, mix.Thin)
		mix.Solids = solids(p, mix.Parts)
		area := unit.Area(0)
		for u := range mix.Uses {
			use := &mix.Uses[u]
			area += use.Area
			use.Stock, use.Thin = split(made(use.Laid.Likely, p.Loss.Likely), mix.Parts)
			use.StockMass, use.ThinMass = mix.weigh(use.Stock, use.Thin)
			r.useOf[use.Step] = use
		}
		mix.DryFilm = dryFilm(mix.Laid.Likely, mix.Solids, area)
		mix.Other = other(mix)
	}
	r.warnTwins()
}

// weigh gives the masses of product and thinner: volume x density.
func (m *Mix) weigh(stock, thin unit.Volume) (stockMass, thinMass unit.Mass) {
	stockMass = unit.Mass(float64(stock) * m.Product.Density.Likely)
	if m.Thinner != nil {
		thinMass = unit.Mass(float64(thin) * m.Thinner.Density.Likely)
	}
	return stockMass, thinMass
}

// made is what has to be mixed for net litres on the wall when a share of the mix
// is lost: net / (1 - loss).
func made(net unit.Volume, loss float64) unit.Volume { return net / unit.Volume(1-loss) }

// split parts a ready mix in product and thinner: product = mix / (1 + parts).
func split(ready unit.Volume, parts unit.Ratio) (stock, thin unit.Volume) {
	stock = ready / unit.Volume(1+parts)
	return stock, ready - stock
}

// solids is the volume solids of a product thinned by parts: VS / (1 + parts);
// thinner leaves nothing behind.
func solids(p *catalog.Product, parts unit.Ratio) unit.Ratio {
	return unit.Ratio(p.Solids.Likely) / (1 + parts)
}

// dryFilm is the dry film of litres spread over an area, um:
// 1000 x litres x VS / area, the relation SR = 10 VS% / DFT of ISO 3233-3:2015.
func dryFilm(litres unit.Volume, solids unit.Ratio, area unit.Area) unit.Film {
	if area <= 0 {
		return 0
	}
	return unit.Film(1000 * float64(litres) * float64(solids) / float64(area))
}

// other is the same batch with the percentage read the other way; nil when there
// is no percentage or the other reading has no meaning (a share of 100 % or more).
func other(mix *Mix) *OtherReading {
	reading, parts := "parts", mix.Percent
	if mix.Reading != "share" {
		if mix.Percent >= 1 {
			return nil
		}
		reading, parts = "share", mix.Percent/(1-mix.Percent)
	}
	if mix.Percent <= 0 {
		return nil
	}
	o := &OtherReading{Reading: reading, Solids: solids(mix.Product, parts)}
	o.Stock, o.Thin = split(mix.Ready.Likely, parts)
	return o
}

// warnTwins warns of one colour name that stands for two colours.
func (r *reckoner) warnTwins() {
	hex := map[string]string{}
	for i := range r.out.Mixes {
		c := r.out.Mixes[i].Colour
		name := strings.ToLower(c.Name)
		if name == "" {
			continue
		}
		if first, ok := hex[name]; ok && !strings.EqualFold(first, c.Hex) {
			r.warn("finishes", c.Name, fmt.Sprintf("%q stands for two colours (%s and %s), which are mixed apart", c.Name, first, c.Hex),
				"give them two names, or the same colour in all finishes")
		} else {
			hex[name] = c.Hex
		}
	}
}

// sorted keys of a set, for lists and words.
func sorted[V any](set map[string]V) []string { return slices.Sorted(maps.Keys(set)) }
