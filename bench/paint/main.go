// Command paint measures how well the film optics foretell real paint. It reads a set of films of known
// mixture from a folder, prints a table and, last, one line of JSON:
//
//	go run ./bench/paint -dir FOLDER
package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
)

func main() { os.Exit(start(os.Args[1:], os.Stdout, os.Stderr)) }

// start returns the exit code.
func start(args []string, out, errs io.Writer) int {
	flags := flag.NewFlagSet("paint", flag.ContinueOnError)
	flags.SetOutput(errs)
	dir := flags.String("dir", "", "folder with "+readingsFile+" and "+mixturesFile)
	if err := flags.Parse(args); err != nil {
		return 1
	}
	if *dir == "" {
		fmt.Fprintf(errs, "paint: name the folder of films: -dir FOLDER, with %s and %s in it\n", readingsFile, mixturesFile)
		return 1
	}
	if err := run(out, os.DirFS(*dir)); err != nil {
		fmt.Fprintf(errs, "paint: %s: %v\n", *dir, err)
		return 1
	}
	return 0
}

func run(w io.Writer, dir fs.FS) error {
	s, err := read(dir)
	if err != nil {
		return err
	}
	tints, notes := s.foretell()
	if len(tints) == 0 {
		return fmt.Errorf("none of the %d films is a tint that others of its pigment could foretell: a tint is one pigment in one white", len(s.films))
	}
	e := s.enter()
	s.print(w, tints, &e, append(s.notes, notes...))
	line, err := json.Marshal(summarise(tints, &e))
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, "%s\n", line)
	return err
}

// summary is what is printed last, in CIEDE2000 under D65 for the 2-degree observer. A figure of nothing
// is null.
type summary struct {
	White  *float64 `json:"median_white"`
	Black  *float64 `json:"median_black"`
	Single *float64 `json:"median_single_constant"` // on white
	Films  int      `json:"films"`

	MeanWhite   *float64 `json:"mean_white"`
	MeanBlack   *float64 `json:"mean_black"`
	SingleBlack *float64 `json:"median_single_constant_black"`
	// The same with tints of whose pigment there is but one other film.
	AllWhite *float64 `json:"median_white_all"`
	AllBlack *float64 `json:"median_black_all"`
	AllFilms int      `json:"films_all"`

	EntryMedian    *float64 `json:"median_two_colours"`
	EntryMean      *float64 `json:"mean_two_colours"`
	ChannelsMedian *float64 `json:"median_rgb_channels"`
	ChannelsMean   *float64 `json:"mean_rgb_channels"`
	Glazes         int      `json:"glazes"`
	Grounds        int      `json:"grounds"`
}

func summarise(tints []tint, e *entry) summary {
	sum := summary{
		EntryMedian: median(e.off), EntryMean: mean(e.off),
		ChannelsMedian: median(e.channels), ChannelsMean: mean(e.channels),
		Glazes: e.glazes, Grounds: e.grounds,
		AllWhite: median(offs(tints, true, false)), AllBlack: median(offs(tints, false, false)), AllFilms: len(tints),
	}
	counted := checked(tints)
	white, black := offs(counted, true, false), offs(counted, false, false)
	sum.White, sum.Black, sum.Films = median(white), median(black), len(counted)
	sum.MeanWhite, sum.MeanBlack = mean(white), mean(black)
	sum.Single, sum.SingleBlack = median(offs(counted, true, true)), median(offs(counted, false, true))
	return sum
}

// needed is how many other films of its pigment a tint must have to count in the main figures: one film on
// two bases is two numbers for two unknowns, with nothing left to check it.
const needed = 2

// checked are the tints with enough other films, or all of them when none has.
func checked(tints []tint) []tint {
	few := func(t tint) bool { return t.others < needed }
	if some := slices.DeleteFunc(slices.Clone(tints), few); len(some) > 0 {
		return some
	}
	return tints
}

// offs are the misses on one base, of the model or of the control.
func offs(tints []tint, white, single bool) (all []float64) {
	for _, t := range tints {
		for _, on := range t.on {
			switch {
			case on.white != white:
			case single:
				all = append(all, on.single)
			default:
				all = append(all, on.off)
			}
		}
	}
	return all
}

func median(v []float64) *float64 {
	if len(v) == 0 {
		return nil
	}
	v = slices.Sorted(slices.Values(v))
	m := (v[(len(v)-1)/2] + v[len(v)/2]) / 2
	return &m
}

func mean(v []float64) *float64 {
	if len(v) == 0 {
		return nil
	}
	m := 0.0
	for _, x := range v {
		m += x
	}
	m /= float64(len(v))
	return &m
}

func (s *set) print(w io.Writer, tints []tint, e *entry, notes []string) {
	p := func(format string, a ...any) { fmt.Fprintf(w, format, a...) }
	p("%d films of %d pigments; surface K1 %.2f, K2 %.2f, the mirror image shut out\n", len(s.films), len(s.pigments), surface().K1, surface().K2)
	p("\nTints told from the other films of their pigment and white, CIEDE2000 (D65, 2 degrees)\n")
	p("%-8s %-24s %8s %6s   %-14s %-14s\n", "film", "pigment", "share %", "others", "white (K/S)", "black (K/S)")
	for _, t := range tints {
		p("%-8s %-24s %8.1f %6d  ", t.film.Name, t.pigment, 100*t.share, t.others)
		for _, white := range []bool{true, false} {
			one := []tint{t}
			if off := offs(one, white, false); len(off) > 0 {
				p(" %5.2f (%5.2f) ", off[0], offs(one, white, true)[0])
			} else {
				p(" %14s", "-   ")
			}
		}
		p("\n")
	}
	row := func(name string, tints []tint) {
		for _, white := range []bool{true, false} {
			base := map[bool]string{true: "white", false: "black"}[white]
			two, one := offs(tints, white, false), offs(tints, white, true)
			p("%-34s on %s: %3d films, median %s, mean %s; K/S alone median %s\n", name, base, len(two), show(median(two)), show(mean(two)), show(median(one)))
		}
	}
	row("with two other films or more", checked(tints))
	row("all", tints)
	p("\nGlazes entered as two colours over %d grounds, against their measured spectra, CIEDE2000\n", e.grounds)
	p("%d glazes: estimated spectra median %s, mean %s; linear sRGB channels median %s, mean %s\n",
		e.glazes, show(median(e.off)), show(mean(e.off)), show(median(e.channels)), show(mean(e.channels)))
	if e.refused > 0 {
		p("%d glazes were not taken: a colour of theirs has no estimated spectrum\n", e.refused)
	}
	for _, n := range notes {
		p("note: %s\n", n)
	}
}

func show(v *float64) string {
	if v == nil {
		return "-"
	}
	return fmt.Sprintf("%.2f", *v)
}
