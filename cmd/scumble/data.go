package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"scumble/store"
)

type backupCommand struct {
	Data string `default:"${data}" help:"Folder of the jobs." type:"path"`
	Out  string `short:"o" required:"" help:"File the copy is written to." type:"path"`
}

// Run copies the jobs into a file while they are in use.
func (cmd *backupCommand) Run(to streams) error {
	return withJobs(cmd.Data, func(ctx context.Context, jobs *store.Store) error {
		if err := jobs.Backup(ctx, cmd.Out); err != nil {
			return err
		}
		fmt.Fprintf(to.out, "%s holds every job with its history. Keep it on another disk.\n", cmd.Out)
		return nil
	})
}

type restoreCommand struct {
	Backup string `arg:"" help:"File made by scumble backup." type:"existingfile"`
	Data   string `default:"${data}" help:"Folder of the jobs; scumble must not be running on it." type:"path"`
}

// Run puts a backup in the place of the jobs, and keeps what was there.
func (cmd *restoreCommand) Run(to streams) error {
	if err := os.MkdirAll(cmd.Data, 0o700); err != nil {
		return err
	}
	kept, err := store.RestoreBackup(context.Background(), cmd.Backup, cmd.Data, time.Now())
	if err != nil {
		return err
	}
	fmt.Fprintf(to.out, "The jobs of %s are back.\n", cmd.Backup)
	if kept != "" {
		fmt.Fprintf(to.out, "What was there before is kept as %s.\n", kept)
	}
	return nil
}

type exportCommand struct {
	Data string `default:"${data}" help:"Folder of the jobs." type:"path"`
	Job  string `help:"ID of one job, as in the address of its pages; without it everything goes into one archive."`
	Out  string `short:"o" required:"" help:"File to write: YAML of a job, or an archive (zip) of everything." type:"path"`
}

// Run writes a job as its YAML, or every job with all revisions as a zip of plain files.
func (cmd *exportCommand) Run(to streams) error {
	return withJobs(cmd.Data, func(ctx context.Context, jobs *store.Store) error {
		if cmd.Job != "" {
			head, err := jobs.Head(ctx, cmd.Job)
			if err != nil {
				return err
			}
			fmt.Fprintf(to.out, "%s is revision %d.\n", cmd.Out, head.Number)
			return os.WriteFile(cmd.Out, head.Text, 0o644)
		}
		f, err := os.OpenFile(cmd.Out, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
		if err != nil {
			return err
		}
		if err := errors.Join(jobs.WriteArchive(ctx, f), f.Sync(), f.Close()); err != nil {
			return err
		}
		fmt.Fprintf(to.out, "%s holds every job with all its revisions as plain files.\n", cmd.Out)
		return nil
	})
}

type takeInCommand struct {
	Archive string `arg:"" help:"Archive made by scumble export." type:"existingfile"`
	Data    string `default:"${data}" help:"Folder of the jobs." type:"path"`
}

// Run takes in the jobs of an archive that are not there yet.
func (cmd *takeInCommand) Run(to streams) error {
	return withJobs(cmd.Data, func(ctx context.Context, jobs *store.Store) error {
		f, err := os.Open(cmd.Archive)
		if err != nil {
			return err
		}
		defer f.Close()
		info, err := f.Stat()
		if err != nil {
			return err
		}
		taken, err := jobs.ReadArchive(ctx, f, info.Size())
		if err != nil {
			return err
		}
		fmt.Fprintf(to.out, "Taken in: %d jobs with %d revisions. Here already: %d.\n", taken.Jobs, taken.Revisions, taken.Known)
		return nil
	})
}

// withJobs opens the jobs of a folder for one command.
func withJobs(data string, do func(context.Context, *store.Store) error) error {
	if err := os.MkdirAll(data, 0o700); err != nil {
		return err
	}
	jobs, err := store.Open(data, wallClock)
	if err != nil {
		return err
	}
	return errors.Join(do(context.Background(), jobs), jobs.Close())
}
