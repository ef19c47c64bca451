package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"scumble/job"
)

type importCommand struct {
	Survey string `arg:"" help:"Survey table (CSV): room, wall, length, height, openings."`
	Into   string `required:"" short:"o" help:"Job file to bring it into; made when it is not there."`
}

// Run writes the job with the table in it; what was there and what was typed stays.
func (cmd *importCommand) Run(to streams) error {
	table, err := readFile(cmd.Survey)
	if err != nil {
		return err
	}
	before, err := os.ReadFile(cmd.Into)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	after, problems := job.ImportSurvey(before, cmd.Survey, table)
	if len(problems) > 0 {
		return report(to, job.Sorted(problems))
	}
	if err := replaceFile(cmd.Into, after); err != nil {
		return err
	}
	fmt.Fprintf(to.out, "%s holds the rooms of %s. Next: scumble check %s\n", cmd.Into, cmd.Survey, cmd.Into)
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
