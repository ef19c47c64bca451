package finish

import (
	"fmt"
	"math"
	"strings"

	"scumble/appearance/colour"
	"scumble/appearance/stroke"
	"scumble/catalog"
	"scumble/job"
	"scumble/unit"
)

// Trial is a sample board worth making.
type Trial struct {
	Finish *Finish
	// Width and Height hold at least two repeats of the pattern, mm.
	Width, Height float64
	// Repeat is one repeat of the pattern, mm; 0 where it has none.
	Repeat [2]float64
	// Why says where the size comes from.
	Why string
}

// Boards of less than this are judged as chips, not as walls, mm: common practice;
// strips and weaves take the larger one.
const (
	leastBoard  = 300
	stripBoard  = 600
	stripBoardH = 900
)

// TrialOf is the board to make of a finish.
func TrialOf(f *Finish, c *catalog.Catalog) Trial {
	t := Trial{Finish: f, Width: leastBoard, Height: leastBoard, Why: "the least that is judged as a wall and not as a chip"}
	tech := f.Technique
	switch {
	case tech.StripWidth != nil:
		t.Repeat = [2]float64{2 * tech.StripWidth.Wanted.Likely, 0}
		t.Width, t.Height = math.Max(stripBoard, 2*t.Repeat[0]), stripBoardH
		t.Why = "two repeats of two strips, and high enough for a whole pull of the brush to show"
	case tech.Rows != nil:
		motif, high := Repeat(f)
		t.Repeat = [2]float64{motif, 2 * high}
		t.Width, t.Height = math.Max(leastBoard, 2*t.Repeat[0]), math.Max(leastBoard, 2*t.Repeat[1])
		t.Why = "two repeats of the motif, and two of a row with the row moved against it"
	case tech.Sheets != nil:
		p, _ := BoardPanel(f, c, "", 1, 1)
		t.Width, t.Height = math.Max(leastBoard, 1.5*p.Sheet.Width), math.Max(leastBoard, 1.5*p.Sheet.Height)
		t.Why = "two sheets and their overlap either way"
	case tech.Mark != "":
		mark := tech.Strokes[tech.Mark].Likely
		t.Why = "two of the largest marks either way, about " + unit.Figure(mark, 0) + " mm each"
		if f.Mixed {
			t.Repeat = [2]float64{2 * mark, 2 * mark}
			t.Why = "two patches of either tone both ways"
			mark *= 2
		}
		t.Width, t.Height = math.Max(leastBoard, 2*mark), math.Max(leastBoard, 2*mark)
	case f.Recipe.Technique == "dragging":
		t.Width, t.Height = stripBoard, stripBoardH
		t.Why = "several passes side by side, with both ends of the pull"
	}
	t.Width, t.Height = math.Ceil(t.Width/50)*50, math.Ceil(t.Height/50)*50
	return t
}

// Adjustment is how a finish was fitted to its sample boards.
type Adjustment struct {
	// Film is how much more glaze lies on the boards than was reckoned with (or how
	// much stronger it is; a board cannot tell the two apart): 1.1 is a tenth more.
	Film float64
	// Contrast is how much stronger the marks of the tool are.
	Contrast float64
	// Tint is how much more the glaze takes away of blue, green and red light.
	Tint [3]float64
	// Before and After are the mean difference of readings from the picture, CIEDE2000;
	// 0 where only words were given.
	Before, After float64
	Compared      []Compared
	// Words say the change for people.
	Words string
}

// Compared is one reading beside the picture before and after.
type Compared struct {
	Board, What                string
	Read, Before, After        colour.Lab
	ReadHex, BeforeHex, NowHex string
}

// Figures of the fit, all our own: how far off a reading may be (CIEDE2000 of a
// mean over marks), what is meant by a word, and how far a parameter may be expected
// to lie from 1 before a board is seen (log standard deviation).
const (
	readingError  = 1.5
	lighterBy     = 4.0 // L* meant by lighter or darker
	lighterError  = 2.0
	contrastBy    = 0.30 // log of the ratio of marks meant by more or less contrast
	contrastError = 0.15
)

var priors = [5]float64{0.35, 0.35, 0.15, 0.15, 0.15}

// Adjust fits a finish to what was read and seen on its boards: the amount (or
// strength) of the glaze, the strength of the marks and the tint, by weighted least
// squares with priors (Gauss and Newton, damped as by Levenberg 1944). It returns the
// adjusted finish; without boards that is the finish itself and a nil adjustment.
func Adjust(j *job.Job, f *Finish, c *catalog.Catalog, boards []job.Board) (*Finish, *Adjustment, error) {
	if len(boards) == 0 {
		return f, nil, nil
	}
	fit := &boardFit{finish: f, catalog: c}
	if err := fit.read(j, boards); err != nil {
		return nil, nil, fmt.Errorf("finish %s: %w", f.ID, err)
	}
	best, err := fit.solve()
	if err != nil {
		return nil, nil, fmt.Errorf("finish %s: %w", f.ID, err)
	}
	return fit.adjusted(best), fit.told(best), nil
}

// Agreed is a finish of a job as its pictures show it: with the optics that follow from
// its colours, adjusted to its sample boards. The adjustment is nil without boards.
func Agreed(j *job.Job, c *catalog.Catalog, id string) (*Finish, *Adjustment, error) {
	f, err := Resolve(j, c, id)
	if err != nil {
		return nil, nil, err
	}
	for i := range j.Finishes {
		if j.Finishes[i].ID == id {
			return Adjust(j, f, c, j.Finishes[i].Boards)
		}
	}
	return f, nil, nil
}

// reading is one thing a board says: a colour to meet, or a word.
type reading struct {
	board, what string
	lab         colour.Lab
}

// boardFit is the search for the parameters of a finish.
type boardFit struct {
	finish    *Finish
	catalog   *catalog.Catalog
	readings  []reading
	lighter   float64 // L* by which boards were seen lighter, mean; 0 none
	contrast  float64
	words     [2]bool // lighter or darker was said; contrast was said
	start     shown
	films     map[float64]films // by contrast
	startDone bool
}

// shown is what the picture shows of a finish.
type shown struct {
	light, whole, dark colour.Lab
	marks              float64
}

func (b *boardFit) read(j *job.Job, boards []job.Board) error {
	b.films = map[float64]films{}
	var lights, contrasts, saidLight, saidContrast float64
	for _, board := range boards {
		for _, r := range []struct{ what, text string }{{"light", board.Light}, {"whole", board.Whole}, {"dark", board.Dark}} {
			if r.text == "" {
				continue
			}
			name, hex := r.text, ""
			if strings.HasPrefix(name, "#") {
				name, hex = "", name
			}
			s, _, err := reflectance(j, name, hex)
			if err != nil {
				return err
			}
			b.readings = append(b.readings, reading{board.Name, r.what, patch("", s).Lab})
		}
		for _, word := range board.Seen {
			switch word {
			case "lighter":
				lights, saidLight = lights+lighterBy, saidLight+1
			case "darker":
				lights, saidLight = lights-lighterBy, saidLight+1
			case "more-contrast":
				contrasts, saidContrast = contrasts+contrastBy, saidContrast+1
			case "less-contrast":
				contrasts, saidContrast = contrasts-contrastBy, saidContrast+1
			}
		}
	}
	b.words = [2]bool{saidLight > 0, saidContrast > 0}
	b.lighter, b.contrast = lights/math.Max(saidLight, 1), contrasts/math.Max(saidContrast, 1)
	return nil
}

// adjusted is the finish with parameters: the logs of film, contrast and tint.
func (b *boardFit) adjusted(p [5]float64) *Finish {
	f := *b.finish
	f.Glazes = append([]Glaze(nil), b.finish.Glazes...)
	more := math.Exp(p[0])
	for n := range f.Glazes {
		g := &f.Glazes[n]
		for band := range g.K {
			nm := float64(colour.First + colour.Step*band)
			g.K[band] *= more * math.Exp(p[2]*hump(nm, 450)+p[3]*hump(nm, 545)+p[4]*hump(nm, 620))
			g.S[band] *= more
		}
		g.Clarity = g.clarity()
		g.Basis += ", adjusted to its sample boards"
	}
	f.Recipe.Contrast = math.Exp(p[1])
	return &f
}

// hump is a broad part of the spectrum: blue, green or red light.
func hump(nm, middle float64) float64 {
	d := (nm - middle) / 45
	return math.Exp(-d * d / 2)
}

// shows is what the picture shows with parameters.
func (b *boardFit) shows(p [5]float64) (shown, error) {
	f := b.adjusted(p)
	fs, known := b.films[p[1]]
	if !known {
		panel, _ := BoardPanel(f, b.catalog, "board of "+f.ID, 900, 900)
		worked, err := stroke.New(panel, f.Recipe)
		if err != nil {
			return shown{}, err
		}
		fs = filmsOf(worked)
		b.films[p[1]] = fs
	}
	s := swatch(f, fs)
	return shown{light: s.Light.Lab, whole: s.Whole.Lab, dark: s.Dark.Lab, marks: s.Marks}, nil
}

// misses are the residuals, each over its standard deviation.
func (b *boardFit) misses(p [5]float64) ([]float64, error) {
	s, err := b.shows(p)
	if err != nil {
		return nil, err
	}
	if !b.startDone {
		b.start, b.startDone = s, true // the first call is with the finish as it was
	}
	var r []float64
	for _, read := range b.readings {
		at := s.of(read.what)
		r = append(r, (at.L-read.lab.L)/readingError, (at.A-read.lab.A)/readingError, (at.B-read.lab.B)/readingError)
	}
	if b.words[0] {
		r = append(r, (s.whole.L-b.start.whole.L-b.lighter)/lighterError)
	}
	if b.words[1] && s.marks > 0 && b.start.marks > 0 {
		r = append(r, (math.Log(s.marks/b.start.marks)-b.contrast)/contrastError)
	}
	for n, prior := range priors {
		r = append(r, p[n]/prior)
	}
	return r, nil
}

func (s shown) of(what string) colour.Lab {
	switch what {
	case "light":
		return s.light
	case "dark":
		return s.dark
	}
	return s.whole
}

func sumOfSquares(v []float64) float64 {
	var sum float64
	for _, x := range v {
		sum += x * x
	}
	return sum
}

// solve searches the least squares.
func (b *boardFit) solve() ([5]float64, error) {
	var at [5]float64
	r, err := b.misses(at)
	if err != nil {
		return at, err
	}
	damping := 1e-2
	for range 12 {
		var slopes [5][]float64
		for n := range slopes {
			to := at
			const step = 0.02
			to[n] += step
			moved, err := b.misses(to)
			if err != nil {
				return at, err
			}
			for k := range moved {
				slopes[n] = append(slopes[n], (moved[k]-r[k])/step)
			}
		}
		next := at
		for n, d := range step(slopes, r, damping) {
			next[n] = math.Max(-1.2, math.Min(1.2, at[n]+d))
		}
		moved, err := b.misses(next)
		if err != nil {
			return at, err
		}
		gain := sumOfSquares(r) - sumOfSquares(moved)
		if gain <= 0 {
			damping *= 10
			if damping > 1e4 {
				break
			}
			continue
		}
		at, r = next, moved
		damping /= 10
		if gain < 1e-5 {
			break
		}
	}
	return at, nil
}

// step solves (J'J + damping diag(J'J)) d = -J'r by elimination; J'J is positive, for
// every parameter has a prior.
func step(slopes [5][]float64, r []float64, damping float64) [5]float64 {
	var m [5][6]float64
	for i := range slopes {
		for k := range slopes {
			for n := range r {
				m[i][k] += slopes[i][n] * slopes[k][n]
			}
		}
		for n := range r {
			m[i][5] -= slopes[i][n] * r[n]
		}
		m[i][i] *= 1 + damping
	}
	for i := range m {
		for k := i + 1; k < 5; k++ {
			f := m[k][i] / m[i][i]
			for n := i; n < 6; n++ {
				m[k][n] -= f * m[i][n]
			}
		}
	}
	var d [5]float64
	for i := 4; i >= 0; i-- {
		d[i] = m[i][5]
		for k := i + 1; k < 5; k++ {
			d[i] -= m[i][k] * d[k]
		}
		d[i] /= m[i][i]
	}
	return d
}

// told is the outcome in figures and words.
func (b *boardFit) told(p [5]float64) *Adjustment {
	a := &Adjustment{Film: math.Exp(p[0]), Contrast: math.Exp(p[1]), Tint: [3]float64{math.Exp(p[2]), math.Exp(p[3]), math.Exp(p[4])}}
	now, err := b.shows(p)
	if err != nil {
		now = b.start // cannot be: the same parameters were shown before
	}
	for _, r := range b.readings {
		c := Compared{Board: r.board, What: r.what, Read: r.lab, Before: b.start.of(r.what), After: now.of(r.what)}
		a.Before += colour.DeltaE(c.Before, r.lab) / float64(len(b.readings))
		a.After += colour.DeltaE(c.After, r.lab) / float64(len(b.readings))
		c.ReadHex, c.BeforeHex, c.NowHex = hexOf(c.Read), hexOf(c.Before), hexOf(c.After)
		a.Compared = append(a.Compared, c)
	}
	words := []string{percent(a.Film, "more glaze, or a stronger one", "less glaze, or a weaker one"), percent(a.Contrast, "stronger marks", "weaker marks")}
	for n, name := range []string{"blue", "green", "red"} {
		words = append(words, percent(a.Tint[n], "more of "+name+" light taken away", "less of "+name+" light taken away"))
	}
	var said []string
	for _, w := range words {
		if w != "" {
			said = append(said, w)
		}
	}
	if len(said) == 0 {
		said = []string{"nothing to change"}
	}
	a.Words = strings.Join(said, ", ")
	return a
}

func hexOf(l colour.Lab) string {
	rgb, _ := l.XYZ(day.White()).RGB(day.White()).Fit()
	return rgb.Hex()
}

// percent says a factor in words; under two in a hundred it says nothing.
func percent(factor float64, more, less string) string {
	switch change := math.Round(100 * (factor - 1)); {
	case change >= 2:
		return fmt.Sprintf("%.0f %% %s", change, more)
	case change <= -2:
		return fmt.Sprintf("%.0f %% %s", -change, less)
	}
	return ""
}
