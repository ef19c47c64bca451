package main

import (
	"context"
	"fmt"
	"image"
	"maps"
	"os"
	"os/signal"
	"slices"
	"strings"
	"sync"

	"scumble/appearance"
	"scumble/appearance/finish"
	"scumble/catalog"
	"scumble/draw"
	"scumble/job"
)

type samplerCommand struct {
	Ground    string   `help:"Ground colour, as #rrggbb. Without colours two sets of the demonstration are shown."`
	GroundB   string   `name:"ground-b" help:"Second ground colour, for strips; default a darker one of the same hue."`
	Glaze     string   `help:"Glaze colour as laid over white, as #rrggbb."`
	GlazeB    string   `name:"glaze-b" help:"Second glaze colour; default that of the first."`
	Technique []string `help:"Techniques to show; default all."`
	With      []string `help:"Glaze products to show them in." default:"oil-glaze,metallic-glaze"`
	Light     string   `help:"Light as the CIE names it." default:"D65"`
	Catalog   string   `help:"Folder of your own catalog records, laid over the built-in ones." type:"path"`
	Out       string   `short:"o" required:"" help:"Picture to write, .png or .jpg."`
}

// scheme is a set of colours every technique is shown in.
type scheme struct{ name, ground, groundB, glaze, glazeB string }

// demoSchemes are colours of the demonstration: a cool one and a warm one.
var demoSchemes = []scheme{
	{"Mist and Slate", "#e9eef2", "#9fb3c6", "#7896ba", "#55759c"},
	{"Ear and Rust", "#efe0c2", "#c9a273", "#c98a5e", "#a85f3c"},
}

// Size of a piece in the sampler: mm of wall, and pixels to the mm.
const (
	pieceWidth, pieceHeight = 760.0, 500.0
	pieceScale              = 0.65
)

// Run writes one sheet with every technique in the colours asked for.
func (cmd *samplerCommand) Run(to streams) error {
	c, err := loadCatalog(cmd.Catalog)
	if err != nil {
		return err
	}
	schemes := demoSchemes
	if cmd.Ground != "" || cmd.Glaze != "" {
		if cmd.Ground == "" || cmd.Glaze == "" {
			return fmt.Errorf("give both --ground and --glaze, or neither")
		}
		own := scheme{"your colours", cmd.Ground, cmd.GroundB, cmd.Glaze, cmd.GlazeB}
		if own.groundB == "" {
			own.groundB = own.ground
		}
		if own.glazeB == "" {
			own.glazeB = own.glaze
		}
		schemes = []scheme{own}
	}
	techniques := cmd.Technique
	if len(techniques) == 0 {
		techniques = slices.Sorted(maps.Keys(c.Techniques))
	}
	var pieces []piece
	for _, id := range techniques {
		t := c.Techniques[id]
		if t == nil {
			return fmt.Errorf("there is no technique %q; take one of %s", id, strings.Join(slices.Sorted(maps.Keys(c.Techniques)), ", "))
		}
		for _, with := range cmd.With {
			if c.Products[with] == nil {
				return fmt.Errorf("there is no glaze %q in the catalog", with)
			}
			for _, s := range schemes {
				pieces = append(pieces, piece{t, c.Products[with], s})
			}
		}
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	sheet, err := samplerSheet(ctx, c, pieces, len(cmd.With)*len(schemes), cmd.Light)
	if err != nil {
		return err
	}
	if err := writePicture(cmd.Out, sheet); err != nil {
		return err
	}
	fmt.Fprintf(to.out, "%s: %d techniques, %d pieces of wall of %.0f by %.0f mm each\n", cmd.Out, len(techniques), len(pieces), pieceWidth, pieceHeight)
	return nil
}

// piece is one technique in one glaze and one set of colours.
type piece struct {
	technique *catalog.Technique
	glaze     *catalog.Product
	colours   scheme
}

// paint makes the picture of a piece.
func (p piece) paint(ctx context.Context, c *catalog.Catalog, light string) (image.Image, error) {
	asked := job.Finish{ID: p.technique.ID, Technique: p.technique.ID, With: p.glaze.ID}
	for _, role := range p.technique.Colours {
		switch role {
		case catalog.RoleGround:
			asked.Ground = job.Colour{Name: "ground", Hex: p.colours.ground}
		case catalog.RoleGroundB:
			asked.GroundB = job.Colour{Name: "second ground", Hex: p.colours.groundB}
		case catalog.RoleGlaze:
			asked.Glaze = job.Colour{Name: "glaze", Hex: p.colours.glaze}
		case catalog.RoleGlazeB:
			asked.GlazeB = job.Colour{Name: "second glaze", Hex: p.colours.glazeB}
		}
	}
	f, err := finish.Resolve(&job.Job{Finishes: []job.Finish{asked}}, c, asked.ID)
	if err != nil {
		return nil, err
	}
	name := "sampler " + p.technique.ID + " " + p.glaze.ID + " " + p.colours.name
	picture, err := appearance.Paint(ctx, appearance.BoardWall(f, c, name, pieceWidth, pieceHeight), appearance.Options{Light: light, Scale: pieceScale, Samples: 4, Workers: 1})
	if err != nil {
		return nil, err
	}
	return picture.Image, nil
}

// samplerSheet lays the pieces out in columns, each with its caption.
func samplerSheet(ctx context.Context, c *catalog.Catalog, pieces []piece, columns int, light string) (image.Image, error) {
	pictures := make([]image.Image, len(pieces))
	errs := make([]error, len(pieces))
	var all sync.WaitGroup
	turn := make(chan struct{}, 2)
	for i, p := range pieces {
		all.Go(func() {
			turn <- struct{}{}
			defer func() { <-turn }()
			pictures[i], errs[i] = p.paint(ctx, c, light)
		})
	}
	all.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	// On paper a piece is pieceWidth/10 mm wide, so that type is of a usual size.
	const scale, gap, head = 10 * pieceScale, 5.0, 9.0
	w, h := pieceWidth/10, pieceHeight/10
	rows := (len(pieces) + columns - 1) / columns
	page := draw.Page{W: gap + float64(columns)*(w+gap), H: gap + float64(rows)*(h+head+gap)}
	for i, p := range pieces {
		x, y := gap+float64(i%columns)*(w+gap), gap+float64(i/columns)*(h+head+gap)
		page.Items = append(page.Items,
			draw.Label(x, y+3.5, p.technique.Name, draw.Style{Size: 9, Bold: true}, draw.Left),
			draw.Label(x, y+7.4, p.glaze.Family+", "+p.colours.name, draw.Style{Size: 7.5}, draw.Left),
			draw.Image{Box: draw.Box{X: x, Y: y + head, W: w, H: h}, Pixels: pictures[i], Alt: p.technique.Name})
	}
	return draw.NewFonts().PNG(page, scale)
}
