package drafting

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"scumble/draw"
	"scumble/unit"
)

// labels are the texts among items, groups left out.
func labels(items []draw.Item) []draw.Text {
	var out []draw.Text
	for _, item := range items {
		if t, ok := item.(draw.Text); ok {
			out = append(out, t)
		}
	}
	return out
}

// span is where a centred level text lies along x.
func span(f *draw.Fonts, t draw.Text) (from, to float64) {
	w := f.Width(t.Text, t.Style)
	return t.At.X - w/2, t.At.X + w/2
}

func TestBookNumbersItsPagesThrough(t *testing.T) {
	f := draw.NewFonts()
	b := NewBook(f, Sheet{Job: "A house", Place: "A town", Document: "Setting out", Contractor: "A crew", Reference: "R-1", Date: "1 May 2027", Demo: true})
	one := b.Part("", draw.A4)
	AddTitle(one, "Title", "said")
	one.NewPage()
	AddBody(one, "more")
	two := b.Part("Kitchen, North", draw.A4Landscape)
	AddTitleLine(f, two, "Kitchen, North", "a wall")
	doc := b.Doc("about")
	if len(doc.Pages) != 3 || doc.Title != "Setting out: A house" || doc.Lang != "en" {
		t.Fatalf("%d pages, title %q, language %q", len(doc.Pages), doc.Title, doc.Lang)
	}
	for i, page := range doc.Pages {
		said := ""
		for _, l := range labels(page.Items) {
			said += l.Text + "\n"
			if l.At.X < 0 || l.At.X > page.W || l.At.Y < 0 || l.At.Y > page.H-6 {
				t.Errorf("page %d: %q stands at %v on %g by %g", i+1, l.Text, l.At, page.W, page.H)
			}
		}
		for _, want := range []string{fmt.Sprintf("page %d of 3\n", i+1), "A house\n", "A crew, R-1, 1 May 2027", "invented", "scumble\n"} {
			if !strings.Contains(said, want) {
				t.Errorf("page %d does not say %q: %q", i+1, want, said)
			}
		}
		if (i == 2) != strings.Contains(said, "Kitchen, North\n") {
			t.Errorf("page %d: where is wrong in %q", i+1, said)
		}
	}
	if doc.Pages[2].W != 297 || doc.Pages[0].Title != "Title" || doc.Pages[2].Title != "Kitchen, North" {
		t.Errorf("page 3 is %g wide; bookmarks %q, %q", doc.Pages[2].W, doc.Pages[0].Title, doc.Pages[2].Title)
	}
}

// TestCumulativeFiguresKeepApart: no two figures of a row touch, and each mark is
// either figured or counted as left to the list.
func TestCumulativeFiguresKeepApart(t *testing.T) {
	f := draw.NewFonts()
	rapid.Check(t, func(t *rapid.T) {
		c := Cumulative{Datum: 10}
		x := 10.0
		for range rapid.IntRange(0, 40).Draw(t, "marks") {
			x += rapid.Float64Range(0.5, 14).Draw(t, "step")
			c.At = append(c.At, x)
			c.Figure = append(c.Figure, unit.Length(x*25).MM())
		}
		c.End, c.Total = x+8, unit.Length(x*25+200).MM()
		items, height, left := c.Draw(f, 50, 40)
		rows := map[float64]float64{}
		inner := 0
		for _, l := range labels(items) {
			if l.At.Y > 50+height {
				t.Fatalf("%q stands below the height it says", l.Text)
			}
			if l.Style.Bold {
				continue
			}
			inner++
			from, to := span(f, l)
			if end, ok := rows[l.At.Y]; ok && from < end+1 {
				t.Fatalf("%q touches its neighbour", l.Text)
			}
			rows[l.At.Y] = to
		}
		if inner+left != len(c.At) {
			t.Fatalf("%d figured and %d left of %d", inner, left, len(c.At))
		}
		if len(rows) > 2 {
			t.Fatalf("%d rows", len(rows))
		}
	})
}

func TestCumulativeUsesOneRowWhereItCan(t *testing.T) {
	f := draw.NewFonts()
	c := Cumulative{Datum: 0, At: []float64{12, 24, 36, 48}, Figure: []string{"300", "600", "900", "1 200"}, End: 60, Total: "1 500"}
	items, _, left := c.Draw(f, 0, -5)
	ys := map[float64]int{}
	for _, l := range labels(items) {
		ys[l.At.Y]++
	}
	if left != 0 || len(ys) != 2 { // one row of figures, one of 0 and the total
		t.Errorf("%d left, rows %v", left, ys)
	}
	c.At = []float64{5, 10, 15, 20}
	c.End = 25
	if rows, every := c.rows(f); rows != 2 || every != 1 {
		t.Errorf("marks 5 mm apart: %d rows, every %d; want 2 rows of every mark", rows, every)
	}
	c.At = []float64{2, 4, 6, 8}
	if _, every := c.rows(f); every < 2 {
		t.Errorf("marks 2 mm apart cannot all be figured")
	}
}

func TestLevelChainSetsWideFiguresAside(t *testing.T) {
	f := draw.NewFonts()
	items := LevelChain(f, []float64{0, 40, 43, 46, 80}, 10, []string{"1 000", "75", "75", "850"})
	var below []draw.Text
	for _, l := range labels(items) {
		if l.At.Y > 10 {
			below = append(below, l)
		}
	}
	if len(below) != 2 {
		t.Fatalf("%d figures below the line, want the two that do not fit", len(below))
	}
	_, to := span(f, below[0])
	if from, _ := span(f, below[1]); from < to+1 {
		t.Errorf("the two figures below collide: %v, %v", to, from)
	}
	if LevelChain(f, []float64{1}, 0, nil) != nil || UprightChain(f, nil, 0, nil) != nil {
		t.Error("a chain of no stretch draws something")
	}
}

func TestUprightFiguresReadFromTheRight(t *testing.T) {
	f := draw.NewFonts()
	for _, l := range labels(UprightDimension(f, 100, 20, 5, "2 720")) {
		if l.Rotate != -90 || l.At.X >= 5 || l.At.Y != 60 {
			t.Errorf("figure %+v, want turned -90 degrees, left of the line, in the middle", l)
		}
	}
}

// TestSlantedEndIsARange: the foot is the earliest, the head the latest.
func TestSlantedEndIsARange(t *testing.T) {
	o := Slanted(10, 30, 12, 36, 0, 4)
	for _, s := range o {
		if s.Op == draw.Close {
			continue
		}
		p := s.P[0]
		if p.Y == 4 && p.X != 10 && p.X != 30 || p.Y == 0 && p.X != 12 && p.X != 36 {
			t.Errorf("corner at %v", p)
		}
	}
}

func TestShapesAndStatesDifferWithoutColour(t *testing.T) {
	bare := func(items []draw.Item) string {
		s := ""
		for _, item := range items {
			switch it := item.(type) {
			case draw.Path:
				s += fmt.Sprint(it.Outline, it.Fill != 0, it.Stroke.Width, it.Stroke.Dash, ";")
			case draw.Text:
				s += it.Text + ";"
			}
		}
		return s
	}
	seen := map[string]bool{}
	for s := StateMeasured; s <= StateLook; s++ {
		seen[bare(s.Mark(0, 0))] = true
	}
	for s := NoteShape; s <= HoldShape; s++ {
		seen[bare(s.Mark(0, 0, 5))] = true
	}
	if len(seen) != 10 {
		t.Errorf("%d signs look different, want 7 states and 3 notices", len(seen))
	}
	hatches := map[string]bool{}
	box := draw.Rect(0, 0, 20, 4).Outline
	for h := Blank; h <= Spoilt; h++ {
		hatches[bare(h.Fill(box))] = true
	}
	if len(hatches) != 4 {
		t.Errorf("%d hatches look different, want 4", len(hatches))
	}
	for name, want := range map[string]Shape{"note": NoteShape, "caution": CautionShape, "hold": HoldShape, "": NoteShape} {
		if ShapeNamed(name) != want {
			t.Errorf("%q is shape %d", name, ShapeNamed(name))
		}
	}
}

func TestNoticeKeepsItsWords(t *testing.T) {
	f := draw.NewFonts()
	fl := draw.NewColumn(f, 120, false)
	AddNotice(f, fl, Notice{Shape: HoldShape, Title: "Stop", Text: "Check the wall.", Defers: "The sheet comes first.", Source: "common practice"})
	all := ""
	for _, l := range labels(fl.Draw(0, 0)) {
		all += l.Text + "|"
	}
	for _, want := range []string{"Stop", "Check the wall.", "The sheet comes first.", "common practice"} {
		if !strings.Contains(all, want) {
			t.Errorf("%q is missing from %q", want, all)
		}
	}
}

func TestSmallThings(t *testing.T) {
	for kind, want := range map[string]string{"published": "P", "common practice": "C", "from memory": "M", "demo": "D", "guess": ""} {
		if got := Footing(kind); got != want {
			t.Errorf("Footing(%q) = %q, want %q", kind, got, want)
		}
		if want != "" && !strings.Contains(FootingKey, want+" ") {
			t.Errorf("the key does not explain %s", want)
		}
	}
	if got := Length(4200, true); got != "4\u202f200 (13\u00a0ft\u00a09\u00a03/8\u00a0in)" { // 4200 / 25.4 = 165.354 in
		t.Errorf("got %q", got)
	}
	if PaperNamed("Letter", true) != draw.LetterLandscape || PaperNamed("", false) != draw.A4 {
		t.Error("papers are mixed up")
	}
	if e := Extension(1, 1, 1, 1); !reflect.DeepEqual(e, draw.Group{}) {
		t.Errorf("an extension of no length is %v", e)
	}
}

func TestSidesStandSideBySide(t *testing.T) {
	f := draw.NewFonts()
	fl := draw.NewColumn(f, 100, false)
	word := func(text string) func(*draw.Flow) {
		return func(fl *draw.Flow) { AddBody(fl, text) }
	}
	AddSides(f, fl, 10, Side{Width: 30, Fill: word("left")}, Side{Fill: word("middle")}, Side{Fill: word("right")})
	at := map[string]float64{}
	for _, l := range labels(fl.Draw(0, 0)) {
		at[l.Text] = l.At.X
	}
	// 100 less 30 and two gaps of 10 leaves 25 for each of the others.
	for text, want := range map[string]float64{"left": 0, "middle": 40, "right": 75} {
		if math.Abs(at[text]-want) > 1e-9 {
			t.Errorf("%s at %v, want %v", text, at[text], want)
		}
	}
}
