package main

import (
	"fmt"
	"image"
	"path/filepath"
	"strings"

	"scumble/appearance"
	"scumble/appearance/finish"
)

type tileCommand struct {
	Job     string  `arg:"" help:"Job file (YAML)."`
	Finish  string  `required:"" help:"Id of the finish."`
	Size    float64 `help:"Side of the piece, mm; rounded to whole repeats." default:"1000"`
	Scale   float64 `help:"Pixels to the mm." default:"1"`
	Light   string  `help:"Light as the CIE names it." default:"D65"`
	Out     string  `short:"o" required:"" help:"Picture to write, .png; heights and directions go beside it."`
	Catalog string  `help:"Folder of your own catalog records, laid over the built-in ones." type:"path"`
}

// Run writes a seamless piece of a finish, its heights and its directions.
func (cmd *tileCommand) Run(to streams) error {
	p, _, err := planOf(to, cmd.Job, cmd.Catalog, quickly)
	if err != nil {
		return err
	}
	f, _, err := finish.Agreed(p.Job, p.Catalog, cmd.Finish)
	if err != nil {
		return err
	}
	s, err := appearance.SeamlessOf(f, p.Catalog, cmd.Size, cmd.Scale, cmd.Light)
	if err != nil {
		return err
	}
	base := strings.TrimSuffix(cmd.Out, filepath.Ext(cmd.Out))
	for _, part := range []struct {
		name string
		img  image.Image
	}{{cmd.Out, s.Colour}, {base + "-height.png", s.Heights}, {base + "-facing.png", s.Facing}} {
		if err := writePicture(part.name, part.img); err != nil {
			return err
		}
	}
	fmt.Fprintf(to.out, "%s: %.0f by %.0f mm of %s, goes on without a seam\n%s-height.png: black is %.3f mm above the ground, white %.3f mm\n%s-facing.png: the way the surface faces, red to the right, green up\n",
		cmd.Out, s.Width, s.Height, f.Name, base, s.Lowest, s.Highest, base)
	return nil
}
