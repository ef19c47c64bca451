package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"time"

	"scumble/unit"
	"scumble/vapour"
)

type airCommand struct {
	Job     string `arg:"" help:"Job file (YAML)."`
	Catalog string `help:"Folder of your own catalog records, laid over the built-in ones." type:"path"`
	JSON    bool   `help:"Print everything, the hourly levels too, as JSON."`
}

// Run prints the mixes against their limits, then the air of each room.
func (cmd *airCommand) Run(to streams) error {
	p, _, err := planOf(to, cmd.Job, cmd.Catalog, alone)
	if err != nil {
		return err
	}
	if cmd.JSON {
		out := json.NewEncoder(to.out)
		out.SetIndent("", "  ")
		return out.Encode(p.Air)
	}
	printMixes(to.out, p.Air)
	for i := range p.Air.Rooms {
		printRoom(to.out, &p.Air.Rooms[i])
	}
	printRags(to.out, p.Air)
	fmt.Fprintln(to.out)
	for _, note := range p.Air.Notes {
		wrap(to.out, "  ", note)
	}
	return nil
}

// printMixes prints each product and thinning once: colours do not change it.
func printMixes(w io.Writer, air *vapour.Air) {
	fmt.Fprintf(w, "Solvent in the mixes as thinned here, g/L: likely, from low to high\n")
	for _, m := range air.Apart() {
		fmt.Fprintf(w, "\n  %s\n", m.Thinned())
		if !m.Known {
			fmt.Fprintln(w, "    The catalog knows no figure; the product's sheet does.")
			continue
		}
		fmt.Fprintf(w, "    %-44s %s\n", "of the ready mix", spread(m.Actual))
		if m.Regulated {
			fmt.Fprintf(w, "    %-44s %s\n", "reckoned without its water", spread(m.LessWater))
		}
		for _, l := range m.Limits {
			fmt.Fprintf(w, "    %-44s %5s  %s\n", short(l.Region, l.Verified), unit.Figure(float64(l.Most), 0), verdicts[l.Verdict])
			if l.Verdict != "meets" {
				wrap(w, "      ", l.Words+".")
			}
		}
	}
}

var verdicts = map[string]string{"meets": "kept", "likely": "probably kept", "exceeds": "NOT KEPT", "unknown": "cannot tell"}

func spread(r unit.Range[unit.Content]) string {
	f := func(c unit.Content) string { return unit.Figure(float64(c), 0) }
	return fmt.Sprintf("%5s  (%s to %s)", f(r.Likely), f(r.Low), f(r.High))
}

// short is a region with a mark where the limit has not been read.
func short(region string, verified bool) string {
	if !verified {
		return region + " (?)"
	}
	return region
}

// printRoom prints what one needs to know before opening the can.
func printRoom(w io.Writer, r *vapour.Room) {
	fmt.Fprintf(w, "\n%s\n", r.Name)
	if r.Solvent.Likely == 0 {
		fmt.Fprintf(w, "  No solvent; %s of other vapour from water-borne coats, not compared.\n", r.FromWater.Likely)
		return
	}
	fmt.Fprintf(w, "  %s of solvent laid in %s of air\n", r.Solvent.Likely, r.Volume.Likely)
	fmt.Fprintf(w, "  Floor          %s, %s\n", r.Floor.Likely, r.FloorFrom)
	fmt.Fprintf(w, "  Air changes/h  %s shut, %s with windows open\n", changesOf(r.Shut), changesOf(r.Aired))
	fmt.Fprintf(w, "  Highest level  %s (%s to %s), %s\n", r.Peak.Level.Likely, r.Peak.Level.Low, r.Peak.Level.High, moment(r.Peak.At))
	fmt.Fprintf(w, "                 after %s\n", r.Peak.Step)
	fmt.Fprintf(w, "  Eight hours    %s (%s to %s), from %s\n", r.Mean.Level.Likely, r.Mean.Level.Low, r.Mean.Level.High, moment(r.Mean.From))
	fmt.Fprintf(w, "    %-36s %10s %6s %7s %8s\n", "limit", "", "share", "h above", "needs /h")
	for _, l := range r.Limits {
		needs := "-"
		switch {
		case l.Beyond:
			needs = "no way"
		case !l.Kept:
			needs = unit.Figure(float64(l.Needed), 1)
		}
		fmt.Fprintf(w, "    %-36s %10s %4s %% %7s %8s\n", kinds[l.Kind]+", "+short(regionOf(l.Region), l.Verified), l.Most, unit.Figure(float64(l.Share.Likely)*100, 0), unit.Figure(float64(l.Hours.Likely), 0), needs)
	}
	fmt.Fprintf(w, "  Back in        %s\n", whenWords(r.ReEntry))
	fmt.Fprintf(w, "  Sleep there    %s\n", whenWords(r.Sleep))
	fmt.Fprintf(w, "                 (below %s, our own share of the strictest limit at work)\n", r.SleepAt)
	worst := -1
	for i, s := range r.Sections {
		if s.Above != "" && (worst < 0 || s.Shut > r.Sections[worst].Shut) {
			worst = i
		}
	}
	if worst >= 0 {
		wrap(w, "  ! ", r.Sections[worst].Step+": "+r.Sections[worst].Words)
	}
}

var kinds = map[string]string{"eight-hours": "eight hours", "ever": "any moment", "explosion": "tenth of explosive"}

// regionOf shortens a region for a column.
func regionOf(s string) string {
	return strings.NewReplacer("European Union", "EU", "United States", "US").Replace(s)
}

func changesOf(r unit.Range[unit.Changes]) string {
	f := func(c unit.Changes) string { return unit.Figure(float64(c), 1) }
	if r.Low == r.High {
		return f(r.Likely)
	}
	return fmt.Sprintf("%s (%s to %s)", f(r.Likely), f(r.Low), f(r.High))
}

func moment(t time.Time) string {
	if t.IsZero() {
		return "not within sixty days"
	}
	return t.Format("Mon 2 Jan 15:04")
}

func whenWords(t vapour.When) string {
	if t.Latest.IsZero() {
		return moment(t.Likely) + ", at the latest not within sixty days"
	}
	return moment(t.Likely) + ", at the latest " + moment(t.Latest)
}

// printRags prints how many rags must leave the building each evening.
func printRags(w io.Writer, air *vapour.Air) {
	if len(air.Rags) == 0 {
		return
	}
	fmt.Fprintf(w, "\nRags with oil glaze, to be counted and out of the building each evening\n")
	for _, d := range air.Rags {
		fmt.Fprintf(w, "  %-12s %3d  %s\n", d.Date.Format("Mon 2 Jan"), d.Count, strings.Join(d.Rooms, ", "))
	}
	wrap(w, "  ", air.Rags[0].Do+" "+air.Rags[0].Defer)
}

// wide is the width of a terminal nobody has widened.
const wide = 80

// wrap prints words folded to the terminal, each line after the first indented as far.
func wrap(w io.Writer, indent, words string) {
	line := indent
	for _, word := range strings.Fields(words) {
		if len([]rune(line))+len([]rune(word)) > wide && strings.TrimSpace(line) != "" {
			fmt.Fprintln(w, strings.TrimRight(line, " "))
			line = strings.Repeat(" ", len(indent))
		}
		line += word + " "
	}
	fmt.Fprintln(w, strings.TrimRight(line, " "))
}
