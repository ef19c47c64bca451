package main

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"

	"scumble/appearance/colour"
	"scumble/appearance/measured"
	"scumble/job"
)

type importCommand struct {
	File string `arg:"" help:"Survey table (CSV: room, wall, length, height, openings), or colours from an instrument (CGATS text, CxF3, or CSV)."`
	Into string `required:"" short:"o" help:"Job file to bring it into; made when it is not there and FILE is a survey table."`
	Kind string `enum:"auto,survey,colours" default:"auto" help:"What FILE holds: survey, colours, or auto to look."`
}

// Run writes the job with the file in it; what was there and what was typed stays.
func (cmd *importCommand) Run(to streams) error {
	content, err := readFile(cmd.File)
	if err != nil {
		return err
	}
	before, err := os.ReadFile(cmd.Into)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if cmd.Kind == "colours" || cmd.Kind == "auto" && !isSurvey(content) {
		return cmd.colours(to, before, content)
	}
	after, problems := job.ImportSurvey(before, cmd.File, content)
	if len(problems) > 0 {
		return report(to, job.Sorted(problems))
	}
	if err := replaceFile(cmd.Into, after); err != nil {
		return err
	}
	fmt.Fprintf(to.out, "%s holds the rooms of %s. Next: scumble check %s\n", cmd.Into, cmd.File, cmd.Into)
	return nil
}

// isSurvey tells a survey table by its first line, which names rooms and walls.
func isSurvey(content []byte) bool {
	first, _, _ := strings.Cut(strings.TrimSpace(strings.TrimPrefix(string(content), "\ufeff")), "\n")
	first = strings.ToLower(first)
	return strings.Contains(first, "room") && strings.Contains(first, "wall")
}

// colours brings measured colours into the job.
func (cmd *importCommand) colours(to streams, before, content []byte) error {
	if before == nil {
		return fmt.Errorf("%s is not there; measured colours are brought into a job that exists", cmd.Into)
	}
	samples, notes, faults := measured.Read(cmd.File, content)
	for _, n := range notes {
		fmt.Fprintln(to.err, "note:", n)
	}
	for _, p := range faults {
		fmt.Fprintln(to.err, p)
	}
	switch {
	case len(faults) > 0:
		return errProblems
	case len(samples) == 0:
		return fmt.Errorf("%s holds no measured colours; export them as CGATS text, CxF3 or CSV", cmd.File)
	}
	var list []job.Measured
	for i, s := range samples {
		list = append(list, forJob(s, i, filepath.Base(cmd.File)))
	}
	after, names, problems := job.ImportMeasured(before, list)
	if len(problems) > 0 {
		return report(to, job.Sorted(problems))
	}
	if err := replaceFile(cmd.Into, after); err != nil {
		return err
	}
	fmt.Fprintf(to.out, "%s holds the measured colours %s.\nName one with a colour of a finish, as measured: %s\n", cmd.Into, strings.Join(names, ", "), names[0])
	return nil
}

// forJob is a sample as a job writes it.
func forJob(s measured.Sample, i int, file string) job.Measured {
	m := job.Measured{Name: s.Name, Under: "D50", Source: file}
	if m.Name == "" {
		m.Name = fmt.Sprintf("%s %d", file, i+1)
	}
	if s.Backing != "" {
		m.Source += ", over " + s.Backing
	}
	switch {
	case s.Spectrum == nil:
		var lab colour.Lab
		lab, m.Under = reading(s)
		m.Lab = []float64{rounded(lab.L), rounded(lab.A), rounded(lab.B)}
	case s.First >= 300 && s.First == math.Trunc(s.First) && s.Step >= 1 && s.Step == math.Trunc(s.Step):
		m.From, m.Step, m.Values = int(s.First), int(s.Step), s.Values
	default: // between whole nm: as brought to the grid of the program
		m.From, m.Step = colour.First, colour.Step
		for _, v := range s.Spectrum {
			m.Values = append(m.Values, math.Max(0, rounded(v)))
		}
	}
	return m
}

// reading is the CIELAB reading of a sample without a spectrum, and the light it stands
// for, D50 or D65 and the 2-degree observer. One for other eyes or lights is brought to
// D50 by the smoothest spectrum with that reading, or else by adaptation.
func reading(s measured.Sample) (lab colour.Lab, under string) {
	if s.Lab == nil && s.XYZ == nil {
		return s.RGB.Lab(), "D65" // sRGB is of daylight
	}
	under = strings.ToUpper(s.Light)
	light, known := colour.LightByID(under)
	if !known {
		under = "D50"
		light, _ = colour.LightByID(under)
	}
	observer := colour.Observer1931()
	if s.Observer == "1964" {
		observer = colour.Observer1964()
	}
	seen := colour.NewViewer(light, observer)
	var xyz colour.XYZ
	if s.Lab != nil {
		xyz = s.Lab.XYZ(seen.White())
	} else {
		xyz = *s.XYZ
	}
	if s.Observer != "1964" && (under == "D50" || under == "D65") {
		return xyz.Lab(seen.White()), under
	}
	d50, _ := colour.LightByID("D50")
	graphic := colour.NewViewer(d50, colour.Observer1931())
	if spectrum, err := colour.Estimate(xyz, seen); err == nil {
		return graphic.Lab(&spectrum), "D50"
	}
	return colour.Adapt(xyz, seen.White(), graphic.White()).Lab(graphic.White()), "D50"
}

func rounded(v float64) float64 { return math.Round(v*1000) / 1000 }

// replaceFile writes beside the old file first, so that a failure loses nothing.
func replaceFile(name string, content []byte) error {
	fresh := name + ".new"
	if err := os.WriteFile(fresh, content, 0o644); err != nil {
		return err
	}
	return os.Rename(fresh, name)
}
