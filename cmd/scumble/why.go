package main

import (
	"encoding/json"
	"fmt"

	"scumble/why"
)

type whyCommand struct {
	Job      string   `arg:"" help:"Job file (YAML)."`
	Question []string `arg:"" help:"What is asked, e.g.: wall \"Dining room/North\" glaze."`
	Catalog  string   `help:"Folder of your own catalog records, laid over the built-in ones." type:"path"`
	JSON     bool     `help:"Print the chain as JSON."`
}

// Run prints the chain from the answer back to what was typed and to the sources.
func (cmd *whyCommand) Run(to streams) error {
	p, file, err := planOf(to, cmd.Job, cmd.Catalog, alone)
	if err != nil {
		return err
	}
	reasons, err := why.Ask(p, cmd.Question)
	if err != nil {
		return err
	}
	if cmd.JSON {
		out := json.NewEncoder(to.out)
		out.SetIndent("", "  ")
		return out.Encode(reasons)
	}
	_, err = fmt.Fprint(to.out, why.Text(reasons, file))
	return err
}
