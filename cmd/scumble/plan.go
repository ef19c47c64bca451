package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"scumble/plan"
	"scumble/sheets"
)

type planCommand struct {
	Job     string `arg:"" help:"Job file (YAML)."`
	Out     string `short:"o" required:"" help:"Folder for the papers; made when it is not there."`
	Catalog string `help:"Folder of your own catalog records, laid over the built-in ones." type:"path"`
	Paper   string `help:"A4 or Letter; default is what the job says." enum:",A4,Letter" default:""`
}

// Run plans the job and writes its document pack.
func (cmd *planCommand) Run(to streams) error {
	src, err := readFile(cmd.Job)
	if err != nil {
		return err
	}
	return planInto(to, cmd.Job, src, cmd.Catalog, cmd.Out, cmd.Paper)
}

// planInto is what plan and demo share: plan, write the pack, print the summary.
func planInto(to streams, name string, src []byte, folder, out, paper string) error {
	c, err := loadCatalog(folder)
	if err != nil {
		return err
	}
	p, _, problems, err := planned(name, src, c, plan.Run)
	if err != nil {
		return err
	}
	if len(problems) > 0 {
		return report(to, problems)
	}
	summary(to.out, p)
	return writePack(to, p, out, paper)
}

// writePack writes every paper of the plan and lists them.
func writePack(to streams, p *plan.Plan, out, paper string) error {
	files, err := sheets.Pack(context.Background(), p, sheets.Options{Paper: paper})
	if err != nil {
		return err
	}
	for _, f := range files {
		path := filepath.Join(out, filepath.FromSlash(f.Name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(path, f.Content, 0o644); err != nil {
			return err
		}
	}
	fmt.Fprintf(to.out, "\nThe papers are in %s:\n", out)
	for _, f := range files {
		if f.What != "" {
			fmt.Fprintf(to.out, "  %-20s %s\n", f.Name, f.What)
		}
	}
	return nil
}
