// Command scumble plans a decorative-finish job from one job file: setting-out,
// coats, quantities, programme, price and the papers a crew works from.
//
// It exits with 0 when there is a plan, 1 when the job has problems, and 2 when
// it was called wrongly.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"

	"github.com/alecthomas/kong"
)

// Exit codes.
const (
	exitDone    = 0
	exitProblem = 1
	exitUsage   = 2
)

// commands is the command line; each command has a file of its own.
type commands struct {
	Serve     serveCommand     `cmd:"" help:"Open the jobs in the browser: measure, choose, set out, plan, price, print."`
	Demo      demoCommand      `cmd:"" help:"Plan the built-in demonstration job, write its papers and open it in the browser."`
	Account   accountCommand   `cmd:"" help:"Look after who may sign in to the pages."`
	Backup    backupCommand    `cmd:"" help:"Copy all jobs into one file, while they are in use."`
	Restore   restoreCommand   `cmd:"" help:"Put a backup in the place of the jobs, keeping what was there."`
	Export    exportCommand    `cmd:"" help:"Write a job as its YAML, or every job with its history as one archive."`
	TakeIn    takeInCommand    `cmd:"" help:"Take in the jobs of an archive."`
	Plan      planCommand      `cmd:"" help:"Plan a job and write its papers."`
	Check     checkCommand     `cmd:"" help:"Report every problem in a job with its place and what to do."`
	Import    importCommand    `cmd:"" help:"Bring a survey table (CSV) into a job, keeping what was typed."`
	Air       airCommand       `cmd:"" help:"Tell what the mixes give off, how much solvent the rooms hold, and when one may go back in."`
	Climate   climateCommand   `cmd:"" help:"Bring the readings of a logger, or a typical year of weather, into the climate of a job."`
	Picture   pictureCommand   `cmd:"" help:"Show a finished wall at true scale in its colours, with the marks of the tool."`
	Colours   coloursCommand   `cmd:"" help:"Tell the colours of the finishes in figures: finished mean, LRV, lamps, films."`
	Sampler   samplerCommand   `cmd:"" help:"Show every technique in the same colours, on one sheet."`
	Tile      tileCommand      `cmd:"" help:"Make a seamless piece of a finish with its heights and directions, for drawing in three dimensions."`
	Wetedge   wetedgeCommand   `cmd:"" help:"Keep the wet edge: sections, who does what when, age of every joint, chance of a lap mark."`
	Drying    dryingCommand    `cmd:"" help:"Tell when every coat can be worked, touched, recoated, taped, washed, through the nights of its room."`
	Programme programmeCommand `cmd:"" help:"Tell who does what on which day, how near that is to the best possible, what moved, and what would change it."`
	Why       whyCommand       `cmd:"" help:"Tell what a figure of the plan rests on."`
	Learn     learnCommand     `cmd:"" help:"Tell what your own walls taught: the catalog, what was seen, what is counted with now."`
	Schema    schemaCommand    `cmd:"" help:"Print the JSON Schema of the job file."`
}

// streams are where a command reads and writes.
type streams struct {
	out, err io.Writer
}

// errProblems ends a command whose problems are already printed.
var errProblems = errors.New("the job has problems")

// memory is where the collector starts to work harder: a whole pack then stays
// far under what an old laptop has left beside a browser.
const memory = 150 << 20

func main() {
	debug.SetMemoryLimit(memory)
	os.Exit(run(os.Args[1:], streams{os.Stdout, os.Stderr}))
}

// run is main with everything from outside handed in.
func run(args []string, to streams) (code int) {
	var c commands
	exited := false
	parser, err := kong.New(&c,
		kong.Name("scumble"),
		kong.Description("The planning and site tool for decorative-finish applicators."),
		kong.Writers(to.out, to.err),
		kong.Exit(func(int) { exited = true }),
		kong.UsageOnError(),
		kong.Vars{"data": dataFolder()},
	)
	if err != nil {
		fmt.Fprintln(to.err, "scumble:", err)
		return exitUsage
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	chosen, err := parser.Parse(args)
	if exited {
		return exitDone
	}
	if err != nil {
		fmt.Fprintf(to.err, "scumble: %v\nTry: scumble --help\n", err)
		return exitUsage
	}
	switch err := chosen.Run(to); {
	case err == nil:
		return exitDone
	case errors.Is(err, errProblems):
		return exitProblem
	default:
		fmt.Fprintln(to.err, "scumble:", err)
		return exitProblem
	}
}
