package main

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strconv"
	"strings"

	"scumble/appearance/colour"
	"scumble/appearance/film"
)

// The two files of a set of films, and the suffixes of their readings: bare bases and films on them.
const (
	readingsFile = "films_reflectance_10nm.tsv"
	mixturesFile = "films_mixtures.tsv"
)

var suffixes = [2][2]string{{"_w", "_ow"}, {"_b", "_ob"}} // white, black

// set is a set of films of known mixture.
type set struct {
	pigments []string
	films    []film.Measured // shares by mass; the white base comes first where there is one
	notes    []string        // what was left out
}

// read takes what the two files agree on and notes the rest.
func read(dir fs.FS) (*set, error) {
	readings, err1 := fs.ReadFile(dir, readingsFile)
	mixtures, err2 := fs.ReadFile(dir, mixturesFile)
	if err := errors.Join(err1, err2); err != nil {
		return nil, fmt.Errorf("a set of films is two files, %s and %s: %w", readingsFile, mixturesFile, err)
	}
	s := &set{}
	spectra, err := s.readings(string(readings))
	if err != nil {
		return nil, err
	}
	place := map[string]int{}
	type row struct {
		name   string
		shares map[int]float64
	}
	var rows []row
	for n, line := range lines(string(mixtures)) {
		name, names, masses, err := mixture(line)
		if err != nil {
			s.notes = append(s.notes, fmt.Sprintf("%s:%d: %v", mixturesFile, n, err))
			continue
		}
		shares := map[int]float64{}
		for i, pigment := range names {
			if masses[i] == 0 {
				continue
			}
			if _, known := place[pigment]; !known {
				place[pigment] = len(s.pigments)
				s.pigments = append(s.pigments, pigment)
			}
			shares[place[pigment]] += masses[i]
		}
		rows = append(rows, row{name, shares})
	}
	for _, r := range rows {
		m := film.Measured{Name: r.name, X: 1, Shares: make([]float64, len(s.pigments))}
		for i, share := range r.shares {
			m.Shares[i] = share
		}
		for _, suffix := range suffixes {
			bare, ok1 := spectra[r.name+suffix[0]]
			coated, ok2 := spectra[r.name+suffix[1]]
			if ok1 && ok2 {
				m.On = append(m.On, film.Backing{Bare: bare, Coated: coated})
			}
		}
		if len(m.On) < len(suffixes) {
			s.notes = append(s.notes, fmt.Sprintf("film %s: readings of %d of its 2 bases", r.name, len(m.On)))
		}
		if len(m.On) > 0 {
			s.films = append(s.films, m)
		}
	}
	if len(s.films) == 0 {
		return nil, fmt.Errorf("no film has both a mixture in %s and readings in %s", mixturesFile, readingsFile)
	}
	return s, nil
}

// lines are the lines that say something, by number.
func lines(text string) func(yield func(int, string) bool) {
	return func(yield func(int, string) bool) {
		n := 0
		for line := range strings.Lines(text) {
			n++
			line = strings.TrimRight(line, "\r\n")
			if strings.TrimSpace(line) == "" || strings.HasPrefix(line, "#") {
				continue
			}
			if !yield(n, line) {
				return
			}
		}
	}
}

// readings reads the wavelengths from the head and a reflectance in percent in every column below.
func (s *set) readings(text string) (map[string]colour.Spectrum, error) {
	spectra := map[string]colour.Spectrum{}
	var first, step float64
	columns := 0
	for n, line := range lines(text) {
		cells := strings.Split(line, "\t")
		values, err := numbers(cells[1:])
		if columns == 0 {
			if err != nil || len(values) < 2 {
				return nil, fmt.Errorf("%s:%d: the first line names the columns: Name, then wavelengths in nm", readingsFile, n)
			}
			columns, first, step = len(values), values[0], values[1]-values[0]
			continue
		}
		if err == nil && len(values) != columns {
			err = fmt.Errorf("%d values for %d wavelengths", len(values), columns)
		}
		for i := range values {
			values[i] /= 100
		}
		var r colour.Spectrum
		if err == nil {
			r, err = colour.Resample(first, step, values)
		}
		if err != nil {
			s.notes = append(s.notes, fmt.Sprintf("%s:%d: %s: %v", readingsFile, n, cells[0], err))
			continue
		}
		spectra[strings.TrimSpace(cells[0])] = r
	}
	return spectra, nil
}

func numbers(cells []string) ([]float64, error) {
	values := make([]float64, len(cells))
	for i, c := range cells {
		v, err := strconv.ParseFloat(strings.TrimSpace(c), 64)
		if err != nil {
			return nil, fmt.Errorf("%q is not a number", c)
		}
		values[i] = v
	}
	return values, nil
}

// mixture reads a film, its components joined by hyphens, and the mass percent of each.
func mixture(line string) (name string, names []string, masses []float64, err error) {
	name, rest, _ := strings.Cut(line, "\t")
	components, percents, ok := strings.Cut(rest, "|")
	if !ok {
		return "", nil, nil, fmt.Errorf("%q: want film, components and percents", line)
	}
	names = strings.Split(strings.TrimSpace(components), "-")
	masses, err = numbers(strings.Split(strings.TrimSpace(percents), "-"))
	if err == nil && len(names) != len(masses) {
		err = fmt.Errorf("film %s: %d components and %d percents", name, len(names), len(masses))
	}
	return strings.TrimSpace(name), names, masses, err
}

// whites are the pigments that tints are made with: those whose own film on white is light and hardly
// coloured, and, where a pigment has no film of its own, those named so.
func (s *set) whites() []bool {
	white := make([]bool, len(s.pigments))
	own := map[int]colour.Lab{}
	for _, f := range s.films {
		if in := present(f.Shares); len(in) == 1 {
			own[in[0]] = daylight.Lab(&f.On[0].Coated)
		}
	}
	for i, name := range s.pigments {
		white[i] = strings.Contains(strings.ToLower(name), "white")
	}
	for _, i := range slices.Sorted(maps.Keys(own)) {
		white[i] = own[i].L > 75 && own[i].Chroma() < 15
	}
	return white
}

// present are the places of pigments with a share.
func present(shares []float64) (in []int) {
	for i, share := range shares {
		if share > 0 {
			in = append(in, i)
		}
	}
	return in
}

var daylight = colour.Daylight()
