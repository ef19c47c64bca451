package site

import (
	"slices"
	"strings"
	"testing"

	"scumble/catalog"
	"scumble/method"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
)

// Every caution of the plan stands on the safety sheet whole: what to do, whose
// word comes first, where it was read, and in which rooms.
func TestSafetyHoldsEveryCautionWhole(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	doc, err := Safety(d)
	if err != nil {
		t.Fatal(err)
	}
	text := papertest.SaidOn(doc.Pages...)
	cautions := map[string]*catalog.Caution{}
	collect := func(steps []method.Step) {
		for _, s := range steps {
			for _, c := range s.Cautions {
				cautions[c.ID] = c
			}
		}
	}
	for _, r := range d.Plan.Method.Rooms {
		collect(r.Steps)
	}
	for _, f := range d.Plan.Method.Faces {
		collect(f.Steps)
	}
	if len(cautions) < 10 {
		t.Errorf("the demonstration brings only %d cautions", len(cautions))
	}
	for id, c := range cautions {
		papertest.MustSay(t, text, c.Title+" "+c.Text+" "+c.Defers)
		if c.Source != "" && !strings.Contains(text, papertest.PlainSpaces(d.Plan.Catalog.Sources[c.Source].Cite)) {
			t.Errorf("%s does not name its source", id)
		}
	}
	for _, w := range d.Plan.Warnings {
		if w.Hold {
			papertest.MustSay(t, text, w.What, w.Do)
		}
	}
	papertest.MustSay(t, text, "This paper comes second", "licensed people come first", "not hours that are safe to breathe")
}

func TestCautionsComeHoldsFirst(t *testing.T) {
	rank := map[string]int{"hold": 0, "caution": 1, "note": 2}
	list := jobCautions(papertest.DemoDesk(t, "A4"))
	if !slices.IsSortedFunc(list, func(a, b *catalog.Caution) int { return rank[a.Shape] - rank[b.Shape] }) {
		t.Error("out of order")
	}
}

// Where and when: every step with a caution is found in its room, on its day,
// within the hours given, with its wall and exactly its cautions.
func TestEveryStepWithACautionIsFoundByRoomAndDay(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	found := 0
	for _, p := range placedSteps(d) {
		for _, piece := range desk.ByDay(p.task.Pieces) {
			if len(p.step.Cautions) == 0 {
				continue
			}
			found++
			if !slices.ContainsFunc(roomDays(d, p.step.Room), func(r roomDay) bool {
				wall := desk.WallName(p.step.Face)
				return desk.SameDay(r.from, piece.From) && !r.from.After(piece.From) && !r.to.Before(piece.To) && r.title == plainTitle(p.step) &&
					(wall == "" || slices.Contains(r.walls, wall)) && slices.Equal(r.cautions, desk.ByShape(p.step.Cautions))
			}) {
				t.Errorf("%s on %s is not found", p.step.ID, piece.From)
			}
		}
	}
	if found < len(d.Plan.Programme.Tasks)/2 {
		t.Errorf("only %d steps with cautions", found)
	}
}

// The rag log has a line for each day on which oil glaze is worked, and no log is
// printed where there is none.
func TestRagLogHasALineForEachDayOfOilGlaze(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	want := map[string]bool{}
	for _, p := range placedSteps(d) {
		if p.step.Product != nil && p.step.Product.Family == "oil" {
			for _, piece := range p.task.Pieces {
				want[piece.From.Format("Mon 2 Jan")] = true
			}
		}
	}
	days := ragDays(d)
	text := papertest.SaidOn(papertest.PagesOf(t, d, Safety, "rag log")...)
	for _, r := range days {
		name := r.from.Format("Mon 2 Jan")
		if !want[name] {
			t.Errorf("no oil glaze on %s", name)
		}
		delete(want, name)
		papertest.MustSay(t, text, name)
	}
	if len(want) > 0 || len(days) == 0 {
		t.Errorf("no line for %v", want)
	}
	none := desk.Desk{Plan: d.Plan, Fonts: d.Fonts, Paper: d.Paper}
	p, m := *d.Plan, *d.Plan.Method
	m.Faces = nil
	p.Method, none.Plan = &m, &p
	doc, err := Safety(&none)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(papertest.SaidOn(doc.Pages...), "Rag log") {
		t.Error("a rag log without oily rags")
	}
}

func TestEveryProductHasABoxForItsSheet(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	text := papertest.SaidOn(papertest.PagesOf(t, d, Safety, "products")...)
	for _, m := range d.Plan.Quantities.Mixes {
		papertest.MustSay(t, text, m.Product.Name)
		if m.Thinner != nil && m.Thinner.ID != "water" {
			papertest.MustSay(t, text, m.Thinner.Name)
		}
	}
}
