package main

import (
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"math"
	"os"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"

	"scumble/appearance"
	"scumble/appearance/colour"
	"scumble/appearance/measured"
	"scumble/draw"
	"scumble/geom"
	"scumble/sheets/elevation"
	"scumble/unit"
)

type pictureCommand struct {
	Job     string   `arg:"" help:"Job file (YAML)."`
	Wall    string   `required:"" help:"The wall, as \"Room/Wall\"."`
	Light   []string `help:"Light as the CIE names it (A, D50, D65, LED-B1 ... LED-B5, FL2, FL11), or day, or lamps for those of the room, or a file of readings (wavelength in nm and power). Several give a picture each." default:"day"`
	Fresh   bool     `help:"Show the cast of the light, as to an eye that has just come in."`
	Scale   float64  `help:"Pixels to the mm of wall." default:"0.4"`
	Crop    string   `help:"Part of the wall: left,bottom,width,height, as lengths are written."`
	Lost    bool     `name:"lost-edge" help:"Show every joint between sections as it looks when the wet edge was lost."`
	Plain   bool     `help:"The finish alone, without openings, skirting and neighbours drawn."`
	Out     string   `short:"o" required:"" help:"Picture to write, .png or .jpg."`
	Catalog string   `help:"Folder of your own catalog records, laid over the built-in ones." type:"path"`
}

// Run writes the picture of a wall.
func (cmd *pictureCommand) Run(to streams) error {
	if !(cmd.Scale > 0 && cmd.Scale <= 20) {
		return fmt.Errorf("--scale %g: give between 0 and 20 pixels to the mm", cmd.Scale)
	}
	p, _, err := planOf(to, cmd.Job, cmd.Catalog, quickly)
	if err != nil {
		return err
	}
	wall, err := appearance.Of(p.Job, p.Catalog, p.Survey, p.SetOut, cmd.Wall)
	if err != nil {
		return err
	}
	crop, err := cropOf(cmd.Crop)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	for _, light := range cmd.Light {
		o := appearance.Options{Light: lightOf(light, wall), Fresh: cmd.Fresh, Scale: cmd.Scale, Crop: crop, Lost: cmd.Lost}
		if _, err := os.Stat(light); err == nil {
			if o.Lamp, err = measuredLamp(to, light); err != nil {
				return err
			}
			o.Light = o.Lamp.ID
			light = strings.TrimSuffix(filepath.Base(light), filepath.Ext(light))
		}
		picture, err := appearance.Paint(ctx, wall, o)
		if err != nil {
			return err
		}
		img := image.Image(picture.Image)
		if !cmd.Plain {
			for _, view := range elevation.Walls(p.Job, p.Survey, p.SetOut) {
				if view.Wall.ID == wall.ID {
					if img, err = framed(view, picture, cmd.Scale, crop); err != nil {
						return err
					}
				}
			}
		}
		name := cmd.Out
		if len(cmd.Light) > 1 {
			name = strings.TrimSuffix(name, filepath.Ext(name)) + "-" + strings.ToLower(light) + filepath.Ext(name)
		}
		if err := writePicture(name, img); err != nil {
			return err
		}
		fmt.Fprintf(to.out, "%s: %s under %s, %d × %d pixels\n", name, wall.ID, o.Light, img.Bounds().Dx(), img.Bounds().Dy())
		if picture.Clipped > 0.02 {
			fmt.Fprintln(to.out, "Some of its colours are stronger than a screen can show.")
		}
	}
	return nil
}

// measuredLamp reads the power of a lamp from a file.
func measuredLamp(to streams, name string) (*colour.Light, error) {
	content, err := readFile(name)
	if err != nil {
		return nil, err
	}
	light, notes, problems := measured.ReadLight(name, content)
	for _, n := range notes {
		fmt.Fprintln(to.err, "note:", n)
	}
	for _, p := range problems {
		fmt.Fprintln(to.err, p)
	}
	if len(problems) > 0 {
		return nil, errProblems
	}
	light.ID = "the lamp of " + filepath.Base(name) // never taken for a light of the CIE
	return &light, nil
}

// lightOf turns the plain words for a light into its name.
func lightOf(light string, w *appearance.Wall) string {
	switch strings.ToLower(light) {
	case "day", "":
		return "D65"
	case "lamp", "lamps":
		return w.Lamps
	}
	return strings.ToUpper(light)
}

// cropOf reads left,bottom,width,height.
func cropOf(text string) (geom.Bounds, error) {
	if text == "" {
		return geom.Bounds{}, nil
	}
	var mm [4]float64
	parts := strings.Split(text, ",")
	if len(parts) != 4 {
		return geom.Bounds{}, fmt.Errorf("--crop %s: write left,bottom,width,height, such as 0,0,1.2m,900", text)
	}
	for i, part := range parts {
		l, err := unit.ParseLength(strings.TrimSpace(part))
		if err != nil {
			return geom.Bounds{}, fmt.Errorf("--crop: %w", err)
		}
		mm[i] = float64(l)
	}
	if !(mm[2] > 0 && mm[3] > 0) {
		return geom.Bounds{}, fmt.Errorf("--crop %s: width and height must be above zero", text)
	}
	return geom.Bounds{Min: geom.Point{X: mm[0], Y: mm[1]}, Max: geom.Point{X: mm[0] + mm[2], Y: mm[1] + mm[3]}}, nil
}

// framed is the picture among the quiet lines of its wall. The margin is a whole
// number of pixels, so that the picture itself stays as it was computed.
func framed(v elevation.View, p *appearance.Picture, scale float64, crop geom.Bounds) (image.Image, error) {
	margin := 0.0
	if crop.Width() == 0 {
		margin = math.Ceil(260*scale) / scale
	}
	d := elevation.Picture(v, elevation.Photo{Pixels: p.Image, Shown: p.Shown}, elevation.Quiet{Scale: 1, Beside: margin, Line: math.Max(1.4, 2.5*scale) / scale})
	return draw.NewFonts().PNG(draw.Page{W: d.W, H: d.H, Items: d.Items}, scale)
}

// writePicture writes a picture in the form its name asks for, beside the old file
// first.
func writePicture(name string, img image.Image) error {
	write := func(w io.Writer) error { return (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(w, img) }
	switch ext := strings.ToLower(filepath.Ext(name)); ext {
	case ".png":
	case ".jpg", ".jpeg":
		write = func(w io.Writer) error { return jpeg.Encode(w, img, &jpeg.Options{Quality: 90}) }
	default:
		return fmt.Errorf("%s: a picture is written as .png or .jpg, not %s", name, strconv.Quote(ext))
	}
	f, err := os.Create(name + ".new")
	if err != nil {
		return err
	}
	if err := write(f); err != nil {
		f.Close()
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(name+".new", name)
}
