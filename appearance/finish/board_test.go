package finish

import (
	"math"
	"strings"
	"testing"

	"scumble/appearance/film"
	"scumble/appearance/internal/finishtest"
	"scumble/appearance/stroke"
	"scumble/job"
)

// boardsOf are boards made with other figures than were reckoned with, each by another hand.
func boardsOf(t *testing.T, p finishtest.Demonstration, f *Finish, more, contrast float64) []job.Board {
	t.Helper()
	fit := &boardFit{finish: f, catalog: p.Catalog, films: map[float64]films{}}
	made := fit.adjusted([5]float64{math.Log(more), math.Log(contrast)})
	var boards []job.Board
	for _, name := range []string{"1", "2", "3"} {
		panel, _ := BoardPanel(made, p.Catalog, "made "+name, 900, 900)
		worked, err := stroke.New(panel, made.Recipe)
		if err != nil {
			t.Fatal(err)
		}
		s := swatch(made, filmsOf(worked))
		boards = append(boards, job.Board{Name: name, Light: s.Light.Hex, Whole: s.Whole.Hex, Dark: s.Dark.Hex})
	}
	return boards
}

// Boards made with more or less glaze and stronger or weaker marks are found out. It takes
// three: where the marks of a tool hardly change with their strength, as with a sponge, one
// board tells the strength no better than to a fifth.
func TestBoardsAreFoundOut(t *testing.T) {
	t.Parallel()
	p := finishtest.Demo(t)
	for _, id := range []string{"drag-slate", "sponge-blush", "frottage-madder", "knife-wheat"} {
		f, err := Resolve(p.Job, p.Catalog, id)
		if err != nil {
			t.Fatal(err)
		}
		for _, made := range []struct{ film, contrast float64 }{{1.25, 1}, {0.8, 1.2}, {1.1, 0.8}} {
			fitted, a, err := Adjust(p.Job, f, p.Catalog, boardsOf(t, p, f, made.film, made.contrast))
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(a.Film/made.film-1) > 0.1 || math.Abs(a.Contrast/made.contrast-1) > 0.15 {
				t.Errorf("%s made with %g of the film and %g of the contrast: found %.2f and %.2f (%s)", id, made.film, made.contrast, a.Film, a.Contrast, a.Words)
			}
			if more := strings.Contains(a.Words, "more glaze"); more != (made.film > 1) || strings.Contains(a.Words, "less glaze") == more {
				t.Errorf("%s made with %g of the film is told as %q", id, made.film, a.Words)
			}
			if made.contrast != 1 && strings.Contains(a.Words, "stronger marks") != (made.contrast > 1) {
				t.Errorf("%s made with %g of the contrast is told as %q", id, made.contrast, a.Words)
			}
			g := fitted.Glazes[0]
			if clarity := 1 - film.ContrastRatio(&g.Glaze, g.Laid, film.Usual()); math.Abs(g.Clarity-clarity) > 1e-9 || !strings.HasSuffix(g.Basis, "boards") || strings.Contains(f.Glazes[0].Basis, "boards") {
				t.Errorf("%s: clarity %.3f, of the adjusted glaze %.3f; rests on %q", id, g.Clarity, clarity, g.Basis)
			}
			if a.After >= a.Before || a.After > 1.6 {
				t.Errorf("%s: off by %.2f before and %.2f after", id, a.Before, a.After)
			}
			if fitted.Recipe.Contrast != a.Contrast || f.Recipe.Contrast != 0 {
				t.Errorf("%s: the picture has contrast %g, and the finish itself was changed to %g", id, fitted.Recipe.Contrast, f.Recipe.Contrast)
			}
		}
	}
}

// Words go the way they say, and further with more boards that agree; words that
// contradict each other leave things as they are.
func TestWordsOfBoards(t *testing.T) {
	t.Parallel()
	p := finishtest.Demo(t)
	f, err := Resolve(p.Job, p.Catalog, "rag-heron")
	if err != nil {
		t.Fatal(err)
	}
	told := func(boards ...job.Board) (*Finish, *Adjustment) {
		fitted, a, err := Adjust(p.Job, f, p.Catalog, boards)
		if err != nil {
			t.Fatal(err)
		}
		return fitted, a
	}
	mean := func(f *Finish) *Swatch {
		s, err := SwatchOf(f, p.Catalog)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	plain := mean(f)
	lighter, _ := told(job.Board{Name: "1", Seen: []string{"lighter"}})
	darker, _ := told(job.Board{Name: "1", Seen: []string{"darker"}})
	if l, d := mean(lighter).Whole.Lab.L, mean(darker).Whole.Lab.L; !(l > plain.Whole.Lab.L+1.5 && d < plain.Whole.Lab.L-1.5) {
		t.Errorf("L* %.1f, lighter %.1f, darker %.1f", plain.Whole.Lab.L, l, d)
	}
	_, more := told(job.Board{Name: "1", Seen: []string{"more-contrast"}})
	_, less := told(job.Board{Name: "1", Seen: []string{"less-contrast"}})
	if !(more.Contrast > 1.1 && less.Contrast < 0.92) {
		t.Errorf("contrast %.2f and %.2f", more.Contrast, less.Contrast)
	}
	_, both := told(job.Board{Name: "1", Seen: []string{"lighter"}}, job.Board{Name: "2", Seen: []string{"darker"}})
	if math.Abs(math.Log(both.Film)) > 0.03 {
		t.Errorf("two boards that contradict each other change the film to %.2f", both.Film)
	}
}

// Readings and words that contradict each other leave every figure within reason, and the
// finish lies between the two.
func TestBoardsThatContradict(t *testing.T) {
	p := finishtest.Demo(t)
	f, err := Resolve(p.Job, p.Catalog, "drag-slate")
	if err != nil {
		t.Fatal(err)
	}
	fitted, a, err := Adjust(p.Job, f, p.Catalog, []job.Board{
		{Name: "1", Light: "#101010", Whole: "#f8f8f8", Dark: "#ffffff", Seen: []string{"lighter", "more-contrast"}},
		{Name: "2", Light: "#ffffff", Whole: "#080808", Dark: "#101010", Seen: []string{"darker", "less-contrast"}},
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range append([]float64{a.Film, a.Contrast}, a.Tint[:]...) {
		if !(v > 0.29 && v < 3.4) {
			t.Errorf("a figure of %g", v)
		}
	}
	s, err := SwatchOf(fitted, p.Catalog)
	if err != nil {
		t.Fatal(err)
	}
	if !(s.Whole.Lab.L > 10 && s.Whole.Lab.L < 95 && a.After > 10) {
		t.Errorf("L* %.1f, off by %.1f", s.Whole.Lab.L, a.After)
	}
}

// A reading that cannot be keeps the figures within reason and says how far off it stays.
func TestBoardOfAnotherColour(t *testing.T) {
	p := finishtest.Demo(t)
	f, err := Resolve(p.Job, p.Catalog, "drag-slate")
	if err != nil {
		t.Fatal(err)
	}
	_, a, err := Adjust(p.Job, f, p.Catalog, []job.Board{{Name: "1", Whole: "#ff3300"}})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range append([]float64{a.Film, a.Contrast}, a.Tint[:]...) {
		if !(v > 0.29 && v < 3.4) {
			t.Errorf("a figure of %g", v)
		}
	}
	if a.After < 5 {
		t.Errorf("a blue glaze became red: off by %.1f", a.After)
	}
	same, none, err := Adjust(p.Job, f, p.Catalog, nil)
	if same != f || none != nil || err != nil {
		t.Errorf("without boards: %v %v %v", same, none, err)
	}
	if _, _, err := Adjust(p.Job, f, p.Catalog, []job.Board{{Name: "1", Whole: "nothing"}}); err == nil {
		t.Error("a reading of no colour is taken")
	}
}

// A trial board holds at least two repeats either way, as the catalog has them: of two
// strips, of a motif, of two rows.
func TestTrialsHoldTwoRepeats(t *testing.T) {
	p := finishtest.Demo(t)
	for _, w := range finishtest.Ways(p.Catalog) {
		f := made(t, p.Catalog, w, p.Catalog.Techniques[w.Technique].Glazes[0])
		trial := TrialOf(f, p.Catalog)
		var repeat [2]float64
		if strips := f.Technique.StripWidth; strips != nil {
			repeat[0] = 2 * strips.Wanted.Likely
		}
		if rows := f.Technique.Rows; rows != nil {
			repeat = [2]float64{rows.Motif.Likely, 2 * rows.Height.Likely}
			if w.Variation == "squares" { // 150 mm each way in the catalog
				repeat = [2]float64{150, 300}
			}
		}
		if w.Technique == "two-tone-sponge-blend" { // a light and a dark patch of 250 mm in the catalog
			repeat = [2]float64{500, 500}
		}
		if trial.Repeat != repeat || trial.Width < math.Max(300, 2*repeat[0]) || trial.Height < math.Max(300, 2*repeat[1]) || trial.Why == "" {
			t.Errorf("%v repeats after %v: %+v", w, repeat, trial)
		}
		if w.Technique == "colourwash" && (trial.Width < 840 || trial.Height < 840) { // a swirl of 420 mm in the catalog
			t.Errorf("%v: a board of %g by %g mm holds no two swirls", w, trial.Width, trial.Height)
		}
	}
}
