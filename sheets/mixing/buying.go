package mixing

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"scumble/catalog"
	"scumble/draw"
	"scumble/job"
	"scumble/quantity"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/sheets/pattern"
	"scumble/unit"
)

// Buying is the list for the shop: coatings, thinners, papers and goods, tools,
// each with what it is for and a box to tick.
func Buying(d *desk.Desk) (draw.Doc, error) {
	book := d.Book("Buying")
	fl := book.Part("", d.Upright())
	drafting.AddTitle(fl, "What to buy", "Packs, goods and tools for "+desk.InOneLine(d.Plan.Job.Name, d.Plan.Job.Place)+". Tick the box when it lies in the van.")
	coatings, thinners := purchases(d)
	addPurchases(d, fl, "Coatings", coatings)
	addPurchases(d, fl, "Thinners", thinners)
	addThinnerCautions(d, fl, thinners)
	addGoods(d, fl)
	addTools(d, fl)
	addBought(d, fl)
	return book.Doc("Packs, goods and tools to buy, with the reason for each line"), nil
}

// purchases parts what is laid on a wall from what thins it.
func purchases(d *desk.Desk) (coatings, thinners []quantity.Purchase) {
	for _, p := range d.Plan.Quantities.Purchases {
		if p.Product.Role == "" {
			thinners = append(thinners, p)
		} else {
			coatings = append(coatings, p)
		}
	}
	byProduct(coatings)
	byProduct(thinners)
	return coatings, thinners
}

// byProduct brings the colours of a product together; products stay in the order
// in which the work first needs them.
func byProduct(purchases []quantity.Purchase) {
	first := map[string]int{}
	for i, p := range purchases {
		if _, ok := first[p.Product.ID]; !ok {
			first[p.Product.ID] = i
		}
	}
	slices.SortStableFunc(purchases, func(a, b quantity.Purchase) int {
		return cmp.Compare(first[a.Product.ID], first[b.Product.ID])
	})
}

// box is the column of boxes to tick.
func box(ticked bool) draw.Cell {
	return draw.Cell{Height: 3.6, Draw: func(b draw.Box) []draw.Item {
		items := []draw.Item{drafting.TickBox(b.X, b.Y+0.5, 3.4)}
		if ticked {
			items = append(items, draw.Polyline([]draw.Point{draw.Pt(b.X+0.7, b.Y+2.2), draw.Pt(b.X+1.5, b.Y+3.1), draw.Pt(b.X+2.8, b.Y+1.2)}, drafting.Edge()))
		}
		return items
	}}
}

// addPurchases is the table of one kind of product, grouped by product.
func addPurchases(d *desk.Desk, fl *draw.Flow, title string, purchases []quantity.Purchase) {
	if len(purchases) == 0 {
		return
	}
	drafting.AddHead(fl, title)
	table := drafting.Table([]draw.Column{{Width: 3.6}, {Title: "Colour", Width: 12}, drafting.Words("Name and reason", 1), {Title: "Buy", Width: 24},
		{Title: "Need", Width: 12, Align: draw.Right}, {Title: "Left over", Width: 13, Align: draw.Right}, {Title: "Cost", Unit: d.Plan.Job.Currency, Width: 17, Align: draw.Right}})
	product := ""
	for _, p := range purchases {
		if p.Product.ID != product {
			product = p.Product.ID
			table.Rows = append(table.Rows, drafting.GroupRow(p.Product.Name+", in "+p.Unit))
		}
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{box(false), chipCell(p.Colour), {Text: colourName(p), Note: p.Reason}, {Text: packWords(p), Bold: true},
			{Text: unit.Figure(p.Need, 2)}, {Text: leftWords(p)}, {Text: priced(d, p.Cost, p.Priced)}}})
	}
	fl.Table(table)
}

// chipCell is the chip of a colour; without a colour it is blank.
func chipCell(c job.Colour) draw.Cell {
	if c.Name == "" {
		return draw.Cell{}
	}
	return draw.Cell{Height: 4.6, Draw: func(b draw.Box) []draw.Item {
		return drafting.Chip(draw.Box{X: b.X, Y: b.Y + 0.4, W: b.W, H: 3.8}, pattern.Colour(c))
	}}
}

// colourName is the colour to ask for.
func colourName(p quantity.Purchase) string {
	switch {
	case p.Colour.Name != "":
		return p.Colour.Name
	case p.Product.Tinted:
		return "colour not named yet"
	}
	return "as sold"
}

// packWords say which packs to buy: 2 of 2.5 L and 1 of 1 L.
func packWords(p quantity.Purchase) string {
	if !p.Priced {
		return "no pack in the price list"
	}
	var lines []string
	for _, pack := range p.Packs {
		lines = append(lines, fmt.Sprintf("%d × %s", pack.Count, pack.Size))
	}
	return strings.Join(lines, "\n")
}

func leftWords(p quantity.Purchase) string {
	if !p.Priced {
		return ""
	}
	return unit.Figure(p.Left, 2)
}

// priced is a cost, or words where the job names no price.
func priced(d *desk.Desk, m unit.Money, known bool) string {
	if !known {
		return "no price"
	}
	return d.Money(m)
}

// addThinnerCautions sets the cautions of the thinners where they are bought.
func addThinnerCautions(d *desk.Desk, fl *draw.Flow, thinners []quantity.Purchase) {
	seen := map[string]bool{}
	for _, p := range thinners {
		for _, id := range p.Product.Cautions {
			c := d.Plan.Catalog.Cautions[id]
			if c != nil && c.Shape != "note" && !seen[id] {
				seen[id] = true
				drafting.AddNotice(d.Fonts, fl, d.Notice(c))
			}
		}
	}
}

// goodUnits are the units of goods as they are printed.
var goodUnits = map[string]string{"each": "", "m": "m", "m2": "m²", "sheet": "sheets"}

// addGoods is the table of what is used up.
func addGoods(d *desk.Desk, fl *draw.Flow) {
	goods := d.Plan.Quantities.Goods
	if len(goods) == 0 {
		return
	}
	drafting.AddHead(fl, "Papers and goods")
	table := drafting.Table([]draw.Column{{Width: 3.6}, drafting.Words("What and why", 1), {Title: "Buy", Width: 24},
		{Title: "Need", Width: 12, Align: draw.Right}, {Width: 13}, {Title: "Cost", Unit: d.Plan.Job.Currency, Width: 17, Align: draw.Right}})
	for _, g := range goods {
		buy := ""
		if g.Priced && g.Packs > 0 {
			buy = strings.TrimSpace(fmt.Sprintf("%d × %s %s", g.Packs, number(g.PackOf), goodUnits[g.Good.Unit]))
		}
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{box(g.Priced && g.Packs == 0 && g.Need > 0), goodCell(g.Good, g.Reason),
			{Text: buy, Bold: true}, {Text: number(g.Need)}, {Text: goodUnits[g.Good.Unit], Align: draw.Left}, {Text: priced(d, g.Cost, g.Priced)}}})
	}
	fl.Table(table)
}

func goodCell(g *catalog.Good, reason string) draw.Cell {
	note := reason
	if g.Note != "" {
		note += " " + g.Note
	}
	return draw.Cell{Text: g.Name, Note: desk.Squared(note)}
}

// number prints a count, with a tenth where it is not whole.
func number(v float64) string {
	if v == float64(int64(v)) {
		return unit.Figure(v, 0)
	}
	return unit.Figure(v, 1)
}

// addTools is the table of what is kept, with a box for what is there already.
func addTools(d *desk.Desk, fl *draw.Flow) {
	tools := d.Plan.Quantities.Tools
	if len(tools) == 0 {
		return
	}
	drafting.AddHead(fl, "Tools")
	table := drafting.Table([]draw.Column{{Title: "Have", Width: 8}, drafting.Words("What and why", 1),
		{Title: "Number", Width: 13, Align: draw.Right}, {Title: "Cost", Unit: d.Plan.Job.Currency, Width: 17, Align: draw.Right}})
	for _, t := range tools {
		cost := priced(d, t.Cost, t.Priced)
		if t.Have {
			cost = "have"
		}
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{box(t.Have), goodCell(t.Good, t.Reason), {Text: number(float64(t.Count)), Bold: true}, {Text: cost}}})
	}
	fl.Table(table)
}

// addBought is what it all costs, and what has no price yet.
func addBought(d *desk.Desk, fl *draw.Flow) {
	w, j := d.Plan.Quote.Working, d.Plan.Job
	fl.Keep(func() {
		drafting.AddHead(fl, "What it costs")
		fl.Table(drafting.Table([]draw.Column{drafting.Words("Before "+desk.TaxName(j), 1), drafting.Figures("Cost", j.Currency)},
			drafting.Row("Coatings and thinners, packs as bought", d.Money(w.Material)),
			drafting.Row("Papers, goods and tools that have a price", d.Money(w.Goods)),
			drafting.SumRow("Together", d.Money(w.Material+w.Goods)),
		))
		if missing := unpriced(d); len(missing) > 0 {
			drafting.AddNote(fl, fmt.Sprintf("No price in the job, so not in these sums: %s.", desk.Listed(missing)))
		}
		if j.Demo {
			drafting.AddNote(fl, "All prices are invented for the demonstration.")
		}
	})
}

// unpriced names what has to be bought and has no price in the job.
func unpriced(d *desk.Desk) []string {
	var names []string
	for _, p := range d.Plan.Quantities.Purchases {
		if !p.Priced {
			names = append(names, strings.ToLower(strings.TrimSpace(p.Product.Name+" "+p.Colour.Name)))
		}
	}
	for _, g := range d.Plan.Quantities.Goods {
		if !g.Priced {
			names = append(names, strings.ToLower(g.Good.Name))
		}
	}
	for _, t := range d.Plan.Quantities.Tools {
		if !t.Priced && !t.Have {
			names = append(names, strings.ToLower(t.Good.Name))
		}
	}
	return names
}

// The columns of buying.csv. A line that is met with packs of several sizes has a
// row for each; need, bought, left and reason stand in the first of them only, so
// that every column can be summed.
var buyingColumns = []string{"group", "id", "item", "colour", "hex", "unit", "need", "packs", "pack", "price each", "cost", "currency", "bought", "left", "have", "reason"}

// BuyingTable is the buying list for a spreadsheet: UTF-8 with a byte order mark,
// commas, points as decimals, one row of heads, units and currency in columns of
// their own.
func BuyingTable(d *desk.Desk) ([]byte, error) {
	rows := [][]string{buyingColumns}
	coatings, thinners := purchases(d)
	for _, p := range coatings {
		rows = append(rows, purchaseRows(d, "coating", p)...)
	}
	for _, p := range thinners {
		rows = append(rows, purchaseRows(d, "thinner", p)...)
	}
	currency := d.Plan.Job.Currency
	for _, g := range d.Plan.Quantities.Goods {
		packs, pack := "", ""
		if g.Priced {
			packs, pack = strconv.Itoa(g.Packs), decimal(g.PackOf)
		}
		rows = append(rows, []string{"goods", g.Good.ID, g.Good.Name, "", "", g.Good.Unit, decimal(g.Need), packs, pack, "",
			amount(d, g.Cost, g.Priced), currency, "", "", "", g.Reason})
	}
	for _, t := range d.Plan.Quantities.Tools {
		have := "no"
		if t.Have {
			have = "yes"
		}
		rows = append(rows, []string{"tool", t.Good.ID, t.Good.Name, "", "", t.Good.Unit, strconv.Itoa(t.Count), "", "", "",
			amount(d, t.Cost, t.Priced), currency, "", "", have, t.Reason})
	}
	var b bytes.Buffer
	b.WriteString("\ufeff")
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	for _, row := range rows {
		for i := range row {
			row[i] = harmless(row[i])
		}
		if err := w.Write(row); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

// purchaseRows are the rows of one product and colour, one for each size of pack.
func purchaseRows(d *desk.Desk, group string, p quantity.Purchase) [][]string {
	row := func() []string {
		return []string{group, p.Product.ID, p.Product.Name, p.Colour.Name, p.Colour.Hex, p.Unit, "", "", "", "", "", d.Plan.Job.Currency, "", "", "", ""}
	}
	first := row()
	first[6], first[15] = decimal(p.Need), p.Reason
	if !p.Priced {
		return [][]string{first}
	}
	first[12], first[13] = decimal(p.Bought), decimal(p.Left)
	rows := [][]string{first}
	for i, pack := range p.Packs {
		if i > 0 {
			rows = append(rows, row())
		}
		r := rows[i]
		r[7], r[8] = strconv.Itoa(pack.Count), decimal(pack.Litres)
		r[9], r[10] = amount(d, pack.Each, true), amount(d, pack.Cost, true)
	}
	return rows
}

// decimal is a number for a spreadsheet, to a ten-thousandth.
func decimal(v float64) string {
	text := strconv.FormatFloat(v, 'f', 4, 64)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}

// amount is money for a spreadsheet: digits and a point, or nothing without a price.
func amount(d *desk.Desk, m unit.Money, known bool) string {
	if !known {
		return ""
	}
	places := job.Decimals(d.Plan.Job.Currency)
	sign, digits := "", strconv.FormatInt(int64(m), 10)
	if m < 0 {
		sign, digits = "-", digits[1:]
	}
	if places == 0 {
		return sign + digits
	}
	if short := places + 1 - len(digits); short > 0 {
		digits = strings.Repeat("0", short) + digits
	}
	at := len(digits) - places
	return sign + digits[:at] + "." + digits[at:]
}

// harmless keeps a spreadsheet from taking words for a formula.
func harmless(cell string) string {
	if cell == "" || !strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
		return cell
	}
	if _, err := strconv.ParseFloat(cell, 64); err == nil {
		return cell // a negative number is a number
	}
	return "'" + cell
}
