package vapour

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/quantity"
	"scumble/unit"
)

// Liquid is a measure of one liquid in a blend.
type Liquid struct {
	Litres float64
	VOC    unit.Content // g in a litre of it
	Water  unit.Ratio   // share of its volume
}

// Blend is what a litre of mixed liquids gives off: sum of masses over sum of
// volumes (actual; 2004/42/EC Annex II, 40 CFR 59 "material"), and the same over the
// volume without its water (less water; 40 CFR 59.104 and 59.406,
// (Wv - Ww - Wec)/(V - Vw - Vec), exempt compounds being none here). Volumes are
// taken to add up.
func Blend(liquids ...Liquid) (actual, lessWater unit.Content) {
	grams, litres, dry := 0.0, 0.0, 0.0
	for _, l := range liquids {
		grams += l.Litres * float64(l.VOC)
		litres += l.Litres
		dry += l.Litres * (1 - float64(l.Water))
	}
	if litres > 0 {
		actual = unit.Content(grams / litres)
	}
	if dry > 0 {
		lessWater = unit.Content(grams / dry)
	}
	return actual, lessWater
}

// Thinning are the parts of thinner on one part of product between which a mix
// meets a limit.
type Thinning struct {
	Possible bool       `json:"possible"` // false: no amount of this thinner meets it, or it takes none
	Least    unit.Ratio `json:"least"`
	Most     unit.Ratio `json:"most"` // -1 = no upper end
}

// Thin solves for the parts y of thinner that meet a limit L,
//
//	(a + y b) / (p + y t) <= L,  a, b: g/L; p, t: counted share of a litre
//
// where all of a litre counts, or all but its water. It is linear in y: one bound,
// from above where the thinner has more than the limit, from below where it has less.
func Thin(product, thinner Liquid, limit unit.Content, lessWater bool) Thinning {
	p, t := 1.0, 1.0
	if lessWater {
		p, t = 1-float64(product.Water), 1-float64(thinner.Water)
	}
	over := float64(product.VOC) - float64(limit)*p // by which the product alone is above it
	gain := float64(limit)*t - float64(thinner.VOC) // room each part of thinner makes
	switch {
	case over <= 0 && gain >= 0:
		return Thinning{Possible: true, Most: -1}
	case over <= 0:
		return Thinning{Possible: true, Most: unit.Ratio(over / gain)}
	case gain > 0:
		return Thinning{Possible: true, Least: unit.Ratio(over / gain), Most: -1}
	}
	return Thinning{}
}

// mixes sets every mix of the job against the limits that are for it.
func (r *reckoner) mixes(q *quantity.Quantities) {
	limits := r.limits(func(l *catalog.Limit) bool { return l.Basis != "" })
	r.out.Mixes = make([]Mix, len(q.Mixes))
	told := map[string]bool{}
	for i := range q.Mixes {
		from := &q.Mixes[i]
		mix := contentOf(from)
		roles := map[catalog.Role]bool{}
		for u := range from.Uses {
			use := &from.Uses[u]
			r.uses[use.Step], r.mixOf[use.Step] = use, &r.out.Mixes[i]
			if step := r.steps[use.Step]; step != nil {
				roles[step.Role] = true
			}
		}
		for _, l := range limits {
			if mix.Known && isFor(l, from.Product, roles) {
				mix.Limits = append(mix.Limits, r.against(l, &mix, from))
			}
		}
		r.out.Mixes[i] = mix
		r.warnMix(&mix, told)
	}
}

// warnMix warns once of a product thinned past a limit.
func (r *reckoner) warnMix(mix *Mix, told map[string]bool) {
	for _, l := range mix.Limits {
		key := fmt.Sprintf("%s %g %s", mix.Product.ID, mix.Parts, l.Limit.ID)
		if l.Verdict != "exceeds" || !l.Verified || told[key] {
			continue
		}
		told[key] = true
		r.warn("", mix.Product.Name, fmt.Sprintf("%s: %s.", l.Region, l.Words),
			"Ask for the product's sheet and its figure as thinned; use one with less solvent, or thin it less, where this limit holds.", false)
	}
}

// contentOf is what one mix gives off. The range is that of the catalog figures; the
// thinning is the one of the job.
func contentOf(from *quantity.Mix) Mix {
	p := from.Product
	mix := Mix{ID: from.ID, Name: p.Name, Product: p, Parts: from.Parts}
	if from.Colour.Name != "" {
		mix.Name += ", " + from.Colour.Name
	}
	if p.VOC == nil || from.Thinner != nil && !evaporates(from.Thinner) {
		return mix
	}
	mix.Known = true
	mix.Regulated = p.Water != nil && (from.Thinner == nil || from.Thinner.Water != nil)
	for _, at := range ends {
		product, thinner := liquids(p, from.Thinner, at)
		product.Litres, thinner.Litres = 1, float64(from.Parts)
		*end(&mix.Actual, at), *end(&mix.LessWater, at) = Blend(product, thinner)
	}
	if !mix.Regulated {
		mix.LessWater = unit.Range[unit.Content]{}
	}
	return mix
}

// evaporates reports whether it is known what a thinner gives off: water nothing.
func evaporates(t *catalog.Product) bool {
	return t.VOC != nil || t.Water != nil && t.Water.Low >= 1
}

// ends are the three figures of an estimate, by their number.
var ends = [3]int{0, 1, 2}

func end[T ~float64](r *unit.Range[T], at int) *T {
	return [3]*T{&r.Low, &r.Likely, &r.High}[at]
}

func figure(f *catalog.Figure, at int) float64 {
	if f == nil {
		return 0
	}
	return [3]float64{f.Low, f.Likely, f.High}[at]
}

// liquids are product and thinner at one end of their estimates. Water is taken at its
// likely share throughout: in a tin more solvent means less water, so the ends of the
// two do not meet.
func liquids(p, t *catalog.Product, at int) (product, thinner Liquid) {
	product = Liquid{VOC: unit.Content(figure(p.VOC, at)), Water: unit.Ratio(figure(p.Water, 1))}
	if t != nil {
		thinner = Liquid{VOC: unit.Content(figure(t.VOC, at)), Water: unit.Ratio(figure(t.Water, 1))}
	}
	return product, thinner
}

// limits are those of a kind, the EU first, then by region and id.
func (r *reckoner) limits(kind func(*catalog.Limit) bool) (list []*catalog.Limit) {
	for _, l := range r.catalog.Limits {
		if kind(l) {
			list = append(list, l)
		}
	}
	other := func(l *catalog.Limit) int {
		if strings.HasPrefix(l.Region, "European Union") {
			return 0
		}
		return 1
	}
	slices.SortFunc(list, func(a, b *catalog.Limit) int {
		return cmp.Or(other(a)-other(b), strings.Compare(a.Region, b.Region), strings.Compare(a.ID, b.ID))
	})
	return list
}

// isFor reports whether a limit is for a product in the parts it plays. A coat
// whose gloss may lie on either side of a bound is held against both limits.
func isFor(l *catalog.Limit, p *catalog.Product, roles map[catalog.Role]bool) bool {
	plays := len(l.Roles) == 0 || slices.ContainsFunc(l.Roles, func(role catalog.Role) bool { return roles[role] })
	if !plays || len(l.Families) > 0 && !slices.Contains(l.Families, p.Family) || l.Value.Unit != "g/L" {
		return false
	}
	if p.Gloss == nil {
		return true
	}
	return (l.GlossUpTo == nil || p.Gloss.Low <= l.GlossUpTo.Likely) && (l.GlossOver == nil || p.Gloss.High > l.GlossOver.Likely)
}

// against holds a mix against a limit.
func (r *reckoner) against(l *catalog.Limit, mix *Mix, from *quantity.Mix) MixLimit {
	v := MixLimit{Limit: l, Name: l.Name, Region: l.Region, From: l.From, Verified: l.Verified, Applies: l.Applies,
		Basis: l.Basis, Content: mix.Actual, Most: unit.Content(l.Value.Likely)}
	lessWater := l.Basis == "less-water"
	if lessWater {
		v.Content = mix.LessWater
	}
	thinner := from.Thinner
	if dilution := from.Product.Dilution; thinner == nil && dilution != nil {
		thinner = r.catalog.Products[dilution.Thinner] // laid undiluted here
	}
	product, with := liquids(from.Product, thinner, 1)
	if thinner != nil {
		v.Thinning = Thin(product, with, v.Most, lessWater)
	}
	about := "within"
	switch most := v.Most * (1 + 1e-9); { // a mix exactly on the limit meets it
	case lessWater && !mix.Regulated:
		v.Verdict = "unknown"
		v.Words = fmt.Sprintf("%s: nothing is known of its water, so it cannot be held against %s", mix.Product.Name, v.Most)
		return v
	case v.Content.High <= most:
		v.Verdict = "meets"
	case v.Content.Likely <= most:
		v.Verdict = "likely"
		about = "probably within"
	default:
		v.Verdict = "exceeds"
		about = "above"
	}
	v.Words = fmt.Sprintf("%s as thinned here has %s, %s the limit of %s%s%s", mix.Product.Name, v.Content.Likely, about, v.Most, basisWords(lessWater), thinWords(v, thinner))
	return v
}

func basisWords(lessWater bool) string {
	if lessWater {
		return " reckoned without water"
	}
	return ""
}

// thinWords says how much thinner the limit leaves.
func thinWords(v MixLimit, thinner *catalog.Product) string {
	percent := func(r unit.Ratio, round func(float64) float64) string {
		return unit.Figure(round(float64(r)*1000)/10, 1)
	}
	switch t := v.Thinning; {
	case thinner == nil:
		return ""
	case !t.Possible:
		return "; no amount of thinner brings it there"
	case t.Most >= 0:
		return fmt.Sprintf("; at most %s parts of thinner on 100 do", percent(t.Most, math.Floor))
	case t.Least > 0:
		return fmt.Sprintf("; at least %s parts of thinner on 100 do", percent(t.Least, math.Ceil))
	}
	return ""
}
