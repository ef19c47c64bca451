package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"scumble/appearance/colour"
	"scumble/appearance/film"
)

// made is a set of films by the forward model: two pigments and a black in a white, all invented.
func made(t *testing.T) fstest.MapFS {
	t.Helper()
	hump := func(low, high, middle, width float64) (s colour.Spectrum) {
		for i := range s {
			d := (float64(colour.First+colour.Step*i) - middle) / width
			s[i] = low + (high-low)*math.Exp(-d*d)
		}
		return s
	}
	paints := map[string]film.Glaze{
		"Rust":  {K: hump(.3, 3, 450, 60), S: hump(.3, .8, 640, 80)},
		"Moss":  {K: hump(.3, 2, 620, 50), S: hump(.2, .5, 530, 60)},
		"Soot":  {K: hump(4, 5, 500, 90), S: hump(.1, .2, 500, 90)},
		"Chalk": {K: hump(.005, .05, 400, 30), S: hump(2, 2.5, 450, 100)},
	}
	var readings, mixtures strings.Builder
	readings.WriteString("# invented\nName")
	for nm := 400; nm <= 700; nm += 10 {
		fmt.Fprintf(&readings, "\t%d", nm)
	}
	write := func(name string, r colour.Spectrum) {
		readings.WriteString("\n" + name)
		for nm := 400; nm <= 700; nm += 10 {
			fmt.Fprintf(&readings, "\t%.6f", 100*r[(nm-colour.First)/colour.Step])
		}
	}
	bare := map[string]colour.Spectrum{"w": hump(.8, .85, 600, 100), "b": hump(.045, .05, 500, 100)}
	for n, recipe := range []string{
		"Rust-Chalk|100-0", "Rust-Chalk|10-90", "Rust-Chalk|50-50", "Rust-Soot|90-10", "Moss|100", "Moss-Chalk|20-80",
		"Moss-Chalk|60-40", "Chalk|100", "Soot-Chalk|5-95", "Soot-Chalk|1-99", "Soot|100",
	} {
		name := fmt.Sprintf("T%02d", n)
		fmt.Fprintf(&mixtures, "%s\t%s\n", name, recipe)
		_, names, masses, err := mixture(name + "\t" + recipe)
		if err != nil {
			t.Fatal(err)
		}
		var parts []film.Part
		for i, p := range names {
			g := paints[p]
			parts = append(parts, film.Part{Glaze: &g, Share: masses[i]})
		}
		mix, err := film.Mix(parts)
		if err != nil {
			t.Fatal(err)
		}
		for _, on := range []string{"w", "b"} {
			write(name+"_"+on, bare[on])
			write(name+"_o"+on, laid(&mix, 1, bare[on]))
		}
	}
	return fstest.MapFS{
		readingsFile: {Data: []byte(readings.String() + "\n")},
		mixturesFile: {Data: []byte(mixtures.String())},
	}
}

func TestMadeFilmsAreForetold(t *testing.T) {
	s, err := read(made(t))
	if err != nil || len(s.notes) > 0 {
		t.Fatal(err, s.notes)
	}
	tints, notes := s.foretell()
	if len(tints) != 6 || len(notes) > 0 {
		t.Fatalf("%d tints, %v", len(tints), notes)
	}
	for _, tint := range tints {
		if len(tint.on) != 2 || !tint.on[0].white || tint.on[1].white {
			t.Fatalf("film %s: %+v", tint.film.Name, tint.on)
		}
		for _, on := range tint.on {
			if on.off > .05 {
				t.Errorf("film %s (%s) is off by %.3f, on white: %v", tint.film.Name, tint.pigment, on.off, on.white)
			}
		}
	}
	e := s.enter()
	if e.glazes == 0 || e.grounds == 0 || len(e.off) != e.glazes*e.grounds || !(*mean(e.off) < *mean(e.channels)) {
		t.Errorf("entry: %d glazes, %d grounds, %d colours, mean %v, of channels %v", e.glazes, e.grounds, len(e.off), *mean(e.off), *mean(e.channels))
	}
}

// TestTheFilmForetoldIsNotUsed spoils one tint: what is foretold of it, and how far off, may change only
// through its own reading.
func TestTheFilmForetoldIsNotUsed(t *testing.T) {
	s, err := read(made(t))
	if err != nil {
		t.Fatal(err)
	}
	const held = 1 // Rust 10 in Chalk
	if s.films[held].Name != "T01" {
		t.Fatal("the set is in another order")
	}
	tints, _ := s.foretell()
	right := s.films[held].On[0].Coated
	for b := range s.films[held].On {
		for i := range s.films[held].On[b].Coated {
			s.films[held].On[b].Coated[i] *= .5
		}
	}
	spoilt, _ := s.foretell()
	wrong := s.films[held].On[0].Coated
	distance := colour.DeltaE(daylight.Lab(&right), daylight.Lab(&wrong))
	for i, tint := range tints {
		if tint.film.Name != "T01" {
			continue
		}
		// The colour foretold lies within 0.05 of the right one, so the miss is the distance to it.
		if got := spoilt[i].on[0].off; math.Abs(got-distance) > .1 {
			t.Errorf("a spoilt film is off by %.2f, want %.2f: it was used to foretell itself", got, distance)
		}
	}
	family, others := s.family(held, 0, 1)
	for _, f := range family {
		if f.Name == "T01" || f.Name == "T03" {
			t.Errorf("film %s is in the family", f.Name)
		}
	}
	if others != 2 || len(family) != 3 {
		t.Errorf("a family of %d with %d of the pigment", len(family), others)
	}
}

// TestGapsAreNotedAndPassed takes readings away and adds lines that are none.
func TestGapsAreNotedAndPassed(t *testing.T) {
	dir := made(t)
	text := string(dir[readingsFile].Data)
	text = strings.Replace(text, "T05_ob", "gone", 1) + "T06_ow\t5\nT02_w\tdark\n"
	dir[readingsFile].Data = []byte(text)
	dir[mixturesFile].Data = append(dir[mixturesFile].Data, "T99\tRust-Chalk|1-99\nT98\tRust-Chalk|1\nT97 nothing\n"...)
	var out bytes.Buffer
	if err := run(&out, dir); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"film T05: readings of 1 of its 2 bases", "film T99: readings of 0", "T98: 2 components and 1 percents",
		`"T97 nothing": want film`, "1 values for 31 wavelengths", `"dark" is not a number`} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("the notes do not say %q:\n%s", want, out.String())
		}
	}
}

func TestLastLineIsJSON(t *testing.T) {
	var out bytes.Buffer
	if err := run(&out, made(t)); err != nil {
		t.Fatal(err)
	}
	rows := strings.Split(strings.TrimSpace(out.String()), "\n")
	var got map[string]float64
	if err := json.Unmarshal([]byte(rows[len(rows)-1]), &got); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"median_white", "median_black", "median_single_constant"} {
		if _, there := got[key]; !there {
			t.Errorf("no %s in %v", key, got)
		}
	}
	// Every tint has the pigment's own film and another tint to be told from, so all six count.
	if got["films"] != 6 || !(got["median_single_constant"] > 20*got["median_white"]) {
		t.Errorf("%v", got)
	}
}

func TestSayWhatIsMissing(t *testing.T) {
	empty := t.TempDir()
	half := t.TempDir()
	if err := os.WriteFile(filepath.Join(half, mixturesFile), []byte("A\tRust|100\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{nil, "-dir FOLDER"},
		{[]string{"-dir", filepath.Join(empty, "absent")}, readingsFile},
		{[]string{"-dir", half}, readingsFile},
		{[]string{"-unknown"}, "not defined"},
	} {
		var out, errs bytes.Buffer
		if code := start(c.args, &out, &errs); code != 1 || !strings.Contains(errs.String(), c.want) || out.Len() > 0 {
			t.Errorf("%v: code %d, %q, want 1 and %q", c.args, code, errs.String(), c.want)
		}
	}
	if err := run(&bytes.Buffer{}, fstest.MapFS{
		readingsFile: {Data: []byte("Name\t400\t700\n")}, mixturesFile: {Data: []byte("A\tRust|100\n")},
	}); err == nil || !strings.Contains(err.Error(), "no film has both") {
		t.Error("a set without films passed:", err)
	}
}

func TestMedianAndMean(t *testing.T) {
	if median(nil) != nil || mean(nil) != nil {
		t.Error("a figure of nothing")
	}
	if m := *median([]float64{3, 1, 2}); m != 2 {
		t.Error("median", m)
	}
	if m := *median([]float64{4, 1, 2, 3}); m != 2.5 {
		t.Error("median", m)
	}
	if m := *mean([]float64{4, 1, 1}); m != 2 {
		t.Error("mean", m)
	}
}

func FuzzRead(f *testing.F) {
	f.Add("Name\t400\t410\nA_w\t5\t6\n", "A\tRust-Chalk|10-90\n")
	f.Add("Name\t400\t700\nA_w\t80\t80\nA_ow\t50\t1e308\n", "A\tRust|100\n")
	f.Add("#\n\nName", "A|B|\n\t|\n")
	f.Fuzz(func(t *testing.T, readings, mixtures string) {
		dir := fstest.MapFS{readingsFile: {Data: []byte(readings)}, mixturesFile: {Data: []byte(mixtures)}}
		s, err := read(dir)
		if err != nil {
			return
		}
		for _, f := range s.films {
			if len(f.Shares) != len(s.pigments) || len(f.On) == 0 {
				t.Fatalf("film %q: %d shares of %d pigments, %d bases", f.Name, len(f.Shares), len(s.pigments), len(f.On))
			}
		}
		s.whites()
		s.grounds()
	})
}
