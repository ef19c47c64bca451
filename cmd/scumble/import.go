package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

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
		list = append(list, s.ForJob(i, filepath.Base(cmd.File)))
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

// replaceFile writes beside the old file first, so that a failure loses nothing.
func replaceFile(name string, content []byte) error {
	fresh := name + ".new"
	if err := os.WriteFile(fresh, content, 0o644); err != nil {
		return err
	}
	return os.Rename(fresh, name)
}
