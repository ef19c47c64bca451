package quantity

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/job"
	"scumble/unit"
)

// tap is the thinner nobody buys.
const tap = "water"

// order is the need of one product in one colour while it is added up.
type order struct {
	product      *catalog.Product
	colour       job.Colour
	likely, high unit.Volume // as sold
	mixes        []string
}

// purchases adds up what each product and colour needs and chooses packs.
//
// Colour is bought for the high end of the need: a batch tinted later does not
// match, so running out on a wall spoils the wall, while a tin left over is kept
// for touching up. What has no colour is bought for the likely end; more of it can
// be fetched at any time.
func (r *reckoner) purchases() {
	var orders []*order
	at := map[string]*order{}
	add := func(p *catalog.Product, c job.Colour, likely, high unit.Volume, mix string) {
		key := p.ID + " " + look(c)
		if at[key] == nil {
			at[key] = &order{product: p, colour: c}
			orders = append(orders, at[key])
		}
		o := at[key]
		o.likely += likely
		o.high += high
		o.mixes = append(o.mixes, mix)
	}
	for i := range r.out.Mixes {
		mix := &r.out.Mixes[i]
		high, _ := split(mix.Ready.High, mix.Parts)
		add(mix.Product, mix.Colour, mix.Stock, high, mix.ID)
	}
	for i := range r.out.Mixes { // thinners after all that is thinned
		mix := &r.out.Mixes[i]
		if mix.Thinner != nil && mix.Thin > 0 && mix.Thinner.ID != tap {
			_, high := split(mix.Ready.High, mix.Parts)
			add(mix.Thinner, job.Colour{}, mix.Thin, high, mix.ID)
		}
	}
	left := map[string][]int{} // packs of a product still in stock, shared by its colours
	for _, o := range orders {
		r.out.Purchases = append(r.out.Purchases, r.purchase(o, left))
	}
	r.warnUnknownPacks()
}

// purchase chooses the packs of one order and takes them out of the stock.
func (r *reckoner) purchase(o *order, left map[string][]int) Purchase {
	perLitre, name := soldBy(o.product)
	likely, high := float64(o.likely)*perLitre, float64(o.high)*perLitre
	p := Purchase{Product: o.product, Colour: o.colour, Unit: name, Likely: likely, Need: likely}
	if o.product.Tinted {
		p.Need = high
	}
	p.Reason = reason(o, &p, high)
	packs, places := r.packsOf(o.product, left)
	if len(packs) == 0 {
		return p
	}
	p.Priced = true
	basket, ok := Cheapest(p.Need, packs, worthOf(packs, float64(r.job.Prices.Leftover.Or(0))))
	for i, n := range basket.Counts {
		left[o.product.ID][i] -= n
		if n > 0 {
			price := each(&packs[i], n)
			p.Packs = append(p.Packs, PackCount{Size: packs[i].Size, Litres: packs[i].Litres, Count: n, Each: price, Cost: price * unit.Money(n)})
		}
	}
	slices.SortStableFunc(p.Packs, func(a, b PackCount) int { return cmp.Compare(b.Litres, a.Litres) })
	p.Bought, p.Cost = basket.Bought, basket.Cost
	p.Left = max(p.Bought-p.Need, 0)
	if !ok {
		r.warn(fmt.Sprintf("prices.packs[%d]", places[0]), label(o), fmt.Sprintf("the stock holds %s %s of the %s %s needed",
			unit.Figure(p.Bought, 2), p.Unit, unit.Figure(p.Need, 2), p.Unit), "order the rest before the work begins, in one batch if it is a colour")
	}
	return p
}

// packsOf lists the packs of a product with what is left of their stock, and their
// places in the price list.
func (r *reckoner) packsOf(product *catalog.Product, left map[string][]int) (packs []job.Pack, places []int) {
	for i, pack := range r.job.Prices.Packs {
		if pack.Product == product.ID && pack.Litres > 0 {
			packs = append(packs, pack)
			places = append(places, i)
		}
	}
	stock, begun := left[product.ID]
	if !begun {
		stock = make([]int, len(packs))
		for i := range packs {
			if packs[i].Stock != nil {
				stock[i] = *packs[i].Stock
			}
		}
		left[product.ID] = stock
	}
	for i := range packs {
		if packs[i].Stock != nil {
			packs[i].Stock = &stock[i]
		}
	}
	return packs, places
}

// worthOf values a surplus at a share of the mean price of a litre over the packs
// offered, never more than the cheapest litre costs (else buying to store would
// pay), and no more litres than the smallest pack holds.
func worthOf(packs []job.Pack, share float64) Worth {
	if len(packs) == 0 || !(share > 0) {
		return Worth{}
	}
	smallest, sum := packs[0].Litres, 0.0
	cheapest := float64(packs[0].Price.Value) / packs[0].Litres
	for i := range packs {
		p := &packs[i]
		smallest = min(smallest, p.Litres)
		sum += float64(p.Price.Value) / p.Litres
		cheapest = min(cheapest, float64(p.Price.Value)/p.Litres)
		for _, b := range p.Breaks {
			cheapest = min(cheapest, float64(b.Price.Value)/p.Litres)
		}
	}
	return Worth{PerLitre: max(min(share*sum/float64(len(packs)), cheapest), 0), Cap: smallest}
}

// reason says in words why so much is bought.
func reason(o *order, p *Purchase, high float64) string {
	amount := func(v float64) string { return unit.Figure(v, 2) + " " + p.Unit }
	mixes := strings.Join(o.mixes, ", ")
	switch {
	case o.product.Tinted && o.colour.Name == "":
		return fmt.Sprintf("For %s, colour not named yet. Likely %s, bought for the high end, %s: a batch tinted later would not match.", mixes, amount(p.Likely), amount(high))
	case o.product.Tinted:
		return fmt.Sprintf("For %s, one boxed batch. Likely %s, bought for the high end, %s: a batch tinted later would not match, and a tin left over is kept for touching up.", mixes, amount(p.Likely), amount(high))
	case o.product.Role == "":
		return fmt.Sprintf("To thin %s. Likely %s, at most %s; cleaning tools is not counted in. Fetch more if it runs low.", mixes, amount(p.Likely), amount(high))
	}
	return fmt.Sprintf("For %s. Bought for the likely need, %s; it can come to %s. It has no colour, so more can be fetched when it runs low.", mixes, amount(p.Likely), amount(high))
}

func label(o *order) string {
	if o.colour.Name == "" {
		return o.product.Name
	}
	return o.product.Name + ", " + o.colour.Name
}

// warnUnknownPacks warns of prices for products the catalog does not have.
func (r *reckoner) warnUnknownPacks() {
	for i, pack := range r.job.Prices.Packs {
		if r.catalog.Products[pack.Product] == nil {
			r.warn(fmt.Sprintf("prices.packs[%d].product", i), pack.Product, fmt.Sprintf("the catalog has no product %q, so the price is not used", pack.Product),
				"correct the product")
		}
	}
	for i, good := range r.job.Prices.Goods {
		if r.catalog.Goods[good.Good] == nil {
			r.warn(fmt.Sprintf("prices.goods[%d].good", i), good.Good, fmt.Sprintf("the catalog has no goods %q, so the price is not used", good.Good),
				"correct the name")
		}
	}
}
