package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"

	"scumble/examples"
	"scumble/store"
)

type demoCommand struct {
	Out   string `short:"o" default:"bellwether-papers" help:"Folder for the papers; made when it is not there."`
	Once  bool   `help:"End after writing the papers."`
	Paper string `help:"A4 or Letter; default is what the job says." enum:",A4,Letter" default:""`
	Addr  string `default:"127.0.0.1:7340" help:"Address the pages are served at; port 0 takes a free one."`
	Data  string `help:"Folder for what is changed in the pages; without it they are forgotten at the end." type:"path"`
}

// Run plans Bellwether House, an invented house, as it stands in examples/, writes its
// papers, and opens it in the pages.
func (cmd *demoCommand) Run(to streams) error {
	if err := planInto(to, examples.BellwetherName, examples.Bellwether, "", cmd.Out, cmd.Paper); err != nil || cmd.Once {
		return err
	}
	data := cmd.Data
	if data == "" {
		var err error
		if data, err = os.MkdirTemp("", "scumble-demo-"); err != nil {
			return err
		}
		defer os.RemoveAll(data)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	return serve(ctx, to, site{Addr: cmd.Addr}, data, "", func(ctx context.Context, jobs *store.Store) error {
		known, err := jobs.Jobs(ctx, true)
		if err != nil || len(known) > 0 {
			return err
		}
		_, _, err = jobs.Create(ctx, "Bellwether House", "Saltern Ness", examples.Bellwether, "", "The demonstration", "new")
		return err
	})
}
