package main

import "scumble/examples"

type demoCommand struct {
	Out   string `short:"o" default:"bellwether-papers" help:"Folder for the papers; made when it is not there."`
	Once  bool   `help:"End after writing the papers."`
	Paper string `help:"A4 or Letter; default is what the job says." enum:",A4,Letter" default:""`
}

// Run plans Bellwether House, an invented house, as it stands in examples/.
func (cmd *demoCommand) Run(to streams) error {
	return planInto(to, examples.BellwetherName, examples.Bellwether, "", cmd.Out, cmd.Paper)
}
