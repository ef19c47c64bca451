package draw

import (
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "write the golden files anew")

// textsOf lists the texts of a page in the order they are drawn.
func textsOf(items []Item) []Text {
	var out []Text
	for _, it := range items {
		switch it := it.(type) {
		case Text:
			out = append(out, it)
		case Group:
			out = append(out, textsOf(it.Items)...)
		}
	}
	return out
}

func wordsOf(items []Item) []string {
	var out []string
	for _, t := range textsOf(items) {
		out = append(out, t.Text)
	}
	return out
}

func TestQuoteLayout(t *testing.T) {
	var got strings.Builder
	for i, p := range quote(t, NewFonts(), 40, A4).Pages {
		fmt.Fprintf(&got, "page %d, %g by %g, %q\n", i+1, p.W, p.H, p.Title)
		for _, x := range textsOf(p.Items) {
			fmt.Fprintf(&got, "%6.1f %6.1f %4.1f %s\n", x.At.X, x.At.Y, x.Style.Size, x.Text)
		}
	}
	const file = "testdata/quote.golden"
	if *update {
		if err := os.WriteFile(file, []byte(got.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got.String() != string(want) {
		t.Errorf("the layout of the quote has changed; compare after: go test -run QuoteLayout -update\n%s", got.String())
	}
}

// numbered is a table of rows that can be told apart, with groups and a sum.
func numbered(kinds []RowKind, words []int) Table {
	table := Table{Columns: []Column{{Title: "Item", Unit: "mm", Flex: 1}, {Title: "Figure", Align: Right}}}
	for i, k := range kinds {
		table.Rows = append(table.Rows, Row{Kind: k, Cells: Cells(fmt.Sprintf("#%d %s", i, strings.Repeat("word ", words[i])), "1.00")})
	}
	return table
}

func TestTableKeepsEveryRowOnce(t *testing.T) {
	f := NewFonts()
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 90).Draw(rt, "rows")
		kinds := rapid.SliceOfN(rapid.SampledFrom([]RowKind{PlainRow, PlainRow, PlainRow, GroupRow, SumRow}), n, n).Draw(rt, "kinds")
		words := rapid.SliceOfN(rapid.SampledFrom([]int{0, 0, 3, 30, 60}), n, n).Draw(rt, "words")
		fl := NewFlow(f, FlowOptions{Paper: rapid.SampledFrom([]Paper{A4, A4Landscape, Letter, LetterLandscape}).Draw(rt, "paper"),
			RTL: rapid.Bool().Draw(rt, "rtl")})
		fl.Space(rapid.Float64Range(0, 300).Draw(rt, "space"))
		fl.Heading("Head", Style{Size: 12})
		fl.Table(numbered(kinds, words))
		next := 0
		for _, page := range fl.Pages() {
			body := fl.Body()
			first := true
			for _, x := range textsOf(page.Items) {
				if x.At.Y > body.Y+body.H+sliver || x.At.X < body.X-sliver || x.At.X+x.line.Width > body.X+body.W+sliver {
					rt.Fatalf("%q at %v leaves the body %v", x.Text, x.At, body)
				}
				var id int
				if m, _ := fmt.Sscanf(x.Text, "#%d", &id); m != 1 {
					continue
				}
				if id != next {
					rt.Fatalf("row %d follows row %d", id, next-1)
				}
				if first && kinds[id] == SumRow && id > 0 && kinds[id-1] == PlainRow && (id < 2 || kinds[id-2] == PlainRow) {
					rt.Fatalf("sum row %d starts a page", id)
				}
				first = false
				next++
			}
			if next > 0 && next < n && kinds[next-1] == GroupRow && kinds[next] != GroupRow {
				rt.Fatalf("group row %d ends a page", next-1)
			}
			if heads := slices.Contains(wordsOf(page.Items), "Figure"); !heads {
				rt.Fatal("a page of the table has no head")
			}
		}
		if next != n {
			rt.Fatalf("%d rows were drawn, want %d", next, n)
		}
	})
}

func TestRowHigherThanAPageIsDivided(t *testing.T) {
	fl := NewFlow(NewFonts(), FlowOptions{})
	long := ""
	for i := range 3000 {
		long += fmt.Sprintf("w%d ", i)
	}
	fl.Table(Table{Columns: []Column{{Title: "Text", Flex: 1}, {Title: "N"}}, Rows: []Row{{Cells: []Cell{{Text: long, Note: "the end"}, {Text: "7"}}}}})
	pages := fl.Pages()
	var all []string
	for _, p := range pages {
		all = append(all, wordsOf(p.Items)...)
	}
	text := strings.Join(all, " ")
	if len(pages) < 2 || !strings.Contains(text, "the end") {
		t.Errorf("%d pages, note kept %v", len(pages), strings.Contains(text, "the end"))
	}
	for i := range 3000 {
		if n := strings.Count(text+" ", fmt.Sprintf("w%d ", i)); n != 1 {
			t.Fatalf("word %d is there %d times", i, n)
		}
	}
}

func TestColumnsShareTheWidth(t *testing.T) {
	f := NewFonts()
	rapid.Check(t, func(rt *rapid.T) {
		width := rapid.Float64Range(30, 250).Draw(rt, "width")
		fl := NewColumn(f, width, rapid.Bool().Draw(rt, "rtl"))
		table := Table{Rows: []Row{{}}}
		for i := range rapid.IntRange(1, 7).Draw(rt, "columns") {
			c := Column{Title: fmt.Sprint("c", i), Width: rapid.SampledFrom([]float64{0, 0, 20, 90}).Draw(rt, "mm"), Flex: rapid.SampledFrom([]float64{0, 1, 2}).Draw(rt, "flex")}
			table.Columns = append(table.Columns, c)
			table.Rows[0].Cells = append(table.Rows[0].Cells, Cell{Text: strings.Repeat("cell ", rapid.IntRange(0, 9).Draw(rt, "words"))})
		}
		l := tableLayout{Table: table.withDefaults(), flow: fl}
		l.placeColumns()
		var order []int
		for i := range l.x {
			order = append(order, i)
		}
		slices.SortFunc(order, func(a, b int) int { return int(math.Copysign(1, l.x[a]-l.x[b])) })
		at := 0.0
		for k, i := range order {
			if l.w[i] <= 0 || k > 0 && l.x[i] < at-sliver {
				rt.Fatalf("columns overlap: %v %v", l.x, l.w)
			}
			at = l.x[i] + l.w[i]
		}
		if room := minColumnMM*float64(len(l.w)) + l.Gap*float64(len(l.w)-1); at > max(width, room)+sliver {
			rt.Fatalf("columns reach %.2f mm in %.2f", at, width)
		}
	})
}

func TestHeadingStaysWithWhatFollows(t *testing.T) {
	f := NewFonts()
	for room := 5.0; room < 60; room += 2.5 {
		fl := NewFlow(f, FlowOptions{})
		fl.Block(fl.Body().H-room, nil)
		fl.Heading("Heading", Style{Size: 12})
		fl.Block(20, func(b Box) []Item { return []Item{Label(b.X, b.Y+10, "block", Style{}, Left)} })
		pages := fl.Pages()
		last := wordsOf(pages[len(pages)-1].Items)
		if !slices.Equal(last, []string{"Heading", "block"}) {
			t.Errorf("%.1f mm left: the last page holds %v", room, last)
		}
		if pages[len(pages)-1].Title != "Heading" {
			t.Errorf("bookmark %q", pages[len(pages)-1].Title)
		}
	}
}

func TestNoLineOfAParagraphStandsAlone(t *testing.T) {
	f := NewFonts()
	text := strings.Repeat("word after word and line after line ", 14)
	for room := 3.0; room < 40; room++ {
		fl := NewFlow(f, FlowOptions{})
		fl.Block(fl.Body().H-room, nil)
		fl.Paragraph(text, Style{Size: 10})
		for i, p := range fl.Pages() {
			if n := len(textsOf(p.Items)); n == 1 {
				t.Errorf("%.0f mm left: page %d has a single line", room, i+1)
			}
		}
	}
}

func TestKeepAndNewPage(t *testing.T) {
	fl := NewFlow(NewFonts(), FlowOptions{})
	mark := func(word string) func(Box) []Item {
		return func(b Box) []Item { return []Item{Label(b.X, b.Y, word, Style{}, Left)} }
	}
	fl.Block(210, mark("a"))
	fl.Keep(func() {
		fl.Block(20, mark("b"))
		fl.Space(5)
		fl.Block(30, mark("c"))
	})
	fl.NewPage()
	fl.Space(9)
	fl.Block(10, mark("d"))
	fl.NewPage()
	pages := fl.Pages()
	var got []string
	for _, p := range pages {
		got = append(got, strings.Join(wordsOf(p.Items), ""))
	}
	if strings.Join(got, "|") != "a|bc|d" {
		t.Errorf("pages hold %v, want a, bc, d", got)
	}
	if top := textsOf(pages[2].Items)[0].At.Y; top != fl.Body().Y {
		t.Errorf("a space was kept at the top of a page: %.1f", top)
	}
}

func TestHeaderKnowsTheNumberOfPages(t *testing.T) {
	fl := NewFlow(NewFonts(), FlowOptions{Footer: func(n, total int, b Box) []Item {
		return []Item{Label(b.X, b.Y+5, fmt.Sprintf("%d/%d", n, total), Style{}, Left)}
	}})
	for range 3 {
		fl.Block(150, nil)
	}
	var got []string
	for _, p := range fl.Pages() {
		got = append(got, wordsOf(p.Items)...)
	}
	if strings.Join(got, " ") != "1/3 2/3 3/3" {
		t.Errorf("footers %v", got)
	}
	if n := len(NewFlow(NewFonts(), FlowOptions{}).Pages()); n != 1 {
		t.Errorf("an empty flow has %d pages, want one", n)
	}
}

func TestColumnIsAsHighAsItsContents(t *testing.T) {
	fl := NewColumn(NewFonts(), 60, false)
	s := Style{Size: 10}
	fl.Space(5)
	fl.Paragraph("one line", s)
	fl.Paragraph("another", s)
	if want := 2*s.LineHeight() + 0.35*s.LineHeight(); math.Abs(fl.Height()-want) > 1e-9 {
		t.Errorf("height %.3f, want two lines and the space between, %.3f", fl.Height(), want)
	}
	texts := textsOf(fl.Draw(100, 50))
	if len(texts) != 2 || texts[0].At.X != 100 || texts[0].At.Y < 50 || texts[1].At.Y > 50+fl.Height() {
		t.Errorf("drawn at %+v", texts)
	}
}

func TestRightToLeftTableIsMirrored(t *testing.T) {
	table := Table{Columns: []Column{{Title: "first", Flex: 1}, {Title: "second", Width: 30, Align: Right}}, Rows: []Row{{Cells: Cells("a", "b")}}}
	place := map[string]float64{}
	fl := NewColumn(NewFonts(), 100, true)
	fl.Table(table)
	for _, x := range textsOf(fl.Draw(0, 0)) {
		place[x.Text] = x.At.X + x.line.Width
	}
	if math.Abs(place["first"]-100) > 1e-9 || math.Abs(place["b"]-30) > 1e-9 {
		t.Errorf("right ends %v, want the first column at 100 and the second at 30", place)
	}
}
