package method

import (
	"fmt"

	"scumble/catalog"
	"scumble/geom"
	"scumble/job"
	"scumble/setout"
	"scumble/survey"
	"scumble/unit"
)

// Figures of these tests are invented for the demo; only the sums are checked.
func figure(low, likely, high float64, unit string) catalog.Figure {
	return catalog.Figure{Low: low, Likely: likely, High: high, Unit: unit, Kind: catalog.Demo}
}

func hours(v float64) catalog.Figure { return figure(v, v, v, "h") }

func product(id string, role catalog.Role, family string, recoat float64) *catalog.Product {
	return &catalog.Product{
		ID: id, Name: "Product " + id, Role: role, Family: family, By: "volume",
		Drying:   catalog.Drying{Touch: hours(recoat / 4), RecoatFrom: figure(recoat, recoat, 2*recoat, "h")},
		Cautions: []string{"gloves"},
	}
}

// smallCatalog holds two techniques over one preparation.
func smallCatalog() *catalog.Catalog {
	oil := product("oil-glaze", catalog.RoleGlaze, "oil", 36)
	oil.Dilution = &catalog.Dilution{Parts: figure(0.8, 0.8, 0.8, "ratio"), Thinner: "thinner"}
	metal := product("metallic-glaze", catalog.RoleGlaze, "metallic", 18)
	metal.Dilution = &catalog.Dilution{Parts: figure(0.1, 0.1, 0.1, "ratio"), Thinner: "water"}
	until := hours(336)
	ground := product("satin-ground-coat", catalog.RoleGround, "water", 6)
	ground.Drying.RecoatUntil = &until
	thinner := product("thinner", "", "oil", 0)
	thinner.Cautions = []string{"solvent", "gloves"}
	c := &catalog.Catalog{
		Techniques: map[string]*catalog.Technique{}, Preparations: map[string]*catalog.Preparation{},
		Products: map[string]*catalog.Product{
			"oil-glaze": oil, "metallic-glaze": metal, "satin-ground-coat": ground, "thinner": thinner,
			"water":                   product("water", "", "none", 0),
			"alkali-resisting-primer": product("alkali-resisting-primer", catalog.RolePrimer, "water", 4),
			"multi-purpose-primer":    product("multi-purpose-primer", catalog.RolePrimer, "water", 2),
			"fine-filler":             product("fine-filler", catalog.RoleFiller, "water", 2),
			"clear-coat":              product("clear-coat", catalog.RoleClear, "water", 4),
		},
		Goods: map[string]*catalog.Good{"brush": {ID: "brush", Tool: true}, "tape": {ID: "tape"}},
		Substrates: map[string]*catalog.Substrate{
			"lime-plaster":  {ID: "lime-plaster", Primer: "alkali-resisting-primer"},
			"painted-sound": {ID: "painted-sound", Primer: "multi-purpose-primer"},
		},
		Rates: map[string]*catalog.Rate{
			"pair": {ID: "pair", Crew: 2, Pace: figure(8, 9.5, 11, "m2/h"), Tall: figure(1.1, 1.2, 1.4, "ratio"), SetUp: figure(0.2, 0.3, 0.5, "h")},
			"one":  {ID: "one", Crew: 1, Pace: figure(10, 20, 40, "m2/h"), Tall: figure(1, 1, 1, "ratio"), SetUp: hours(0)},
			"mark": {ID: "mark", Crew: 1, Pace: figure(20, 25, 50, "m/h"), Tall: figure(1, 1, 1, "ratio"), SetUp: hours(0)},
		},
		Cautions: map[string]*catalog.Caution{},
		Limits: map[string]*catalog.Limit{
			"lead-here":     {ID: "lead-here", Value: figure(1977, 1977, 1977, "year")},
			"lead-there":    {ID: "lead-there", Value: figure(1980, 1982, 1984, "year")},
			"lead-in-paint": {ID: "lead-in-paint", Value: figure(9999, 9999, 9999, "mg/cm2")},
		},
	}
	for _, id := range []string{"gloves", "solvent", "lead-paint", "sanding-dust", "steps", "platform", "scaffold", "plates"} {
		c.Cautions[id] = &catalog.Caution{ID: id}
	}
	c.Preparations["room"] = &catalog.Preparation{ID: "room", Steps: []catalog.StepRule{
		{ID: "protect", Kind: Protect, Title: "Cover", Over: "room", Rate: "one", Crew: 1, Goods: []string{"tape"}, Cautions: []string{"plates", "plates"}},
		{ID: "unmask", Kind: Unmask, Title: "Uncover", Over: "room", Rate: "one", Crew: 1, Wait: []catalog.WaitRule{{From: hours(24), Why: "soft"}}},
	}}
	c.Preparations["standard"] = &catalog.Preparation{ID: "standard", Steps: []catalog.StepRule{
		{ID: "prime", Kind: Prime, Title: "Prime", Role: catalog.RolePrimer, Over: "field", Rate: "one", Crew: 1},
		{ID: "fill-1", Kind: Fill, Title: "Fill", Role: catalog.RoleFiller, Over: "field", Rate: "one", Crew: 1},
		{ID: "sand", Kind: Sand, Title: "Sand", Over: "field", Rate: "one", Crew: 1},
		{ID: "ground-1", Kind: Ground, Title: "Ground coat", Role: catalog.RoleGround, Over: "field", Rate: "one", Crew: 1},
	}}
	c.Techniques["cross-drag-weave"] = weave()
	c.Techniques["colourwash"] = &catalog.Technique{
		ID: "colourwash", Name: "Colourwash", Prepare: "standard", Glazes: []string{"oil-glaze", "metallic-glaze"},
		Colours:    []catalog.Role{catalog.RoleGround, catalog.RoleGlaze},
		Variations: []catalog.Variation{{ID: "swirl", Name: "Swirl", Do: "Turn the sponge."}},
		Steps: []catalog.StepRule{
			{ID: "glaze-1", Kind: Glaze, Title: "Wash", Do: "Lay and wash.", Role: catalog.RoleGlaze, Over: "field", Rate: "pair", Crew: 2, Undiluted: true,
				Dwell: &catalog.Figure{Low: 3, Likely: 4, High: 5, Unit: "min"}, Tools: []string{"brush"}, WetEdge: true},
			{ID: "clear", Kind: Clear, Title: "Clear coat", Role: catalog.RoleClear, Over: "field", Rate: "one", Crew: 1, Optional: "clear"},
			{ID: "inspect", Kind: Inspect, Title: "Look", Over: "field", Rate: "one", Crew: 1,
				Wait: []catalog.WaitRule{{After: "clear", From: hours(12), Why: "wet film hides faults"}}},
		},
	}
	return c
}

func weave() *catalog.Technique {
	return &catalog.Technique{
		ID: "cross-drag-weave", Name: "Cross-drag weave", Prepare: "standard", Strips: true, Glazes: []string{"oil-glaze", "metallic-glaze"},
		Colours: []catalog.Role{catalog.RoleGround, catalog.RoleGroundB, catalog.RoleGlaze, catalog.RoleGlazeB},
		Steps: []catalog.StepRule{
			{ID: "mark", Kind: Mark, Title: "Set out", Over: "joints", Rate: "mark", Crew: 2,
				Wait: []catalog.WaitRule{{After: "ground-1", From: hours(6), Why: "pencil"}}},
			{ID: "ground-b", Kind: Ground, Title: "Second colour", Role: catalog.RoleGroundB, Over: "strips-b", Rate: "one", Crew: 1,
				Wait: []catalog.WaitRule{{After: "ground-1", From: hours(7), Why: "soft ground"}}},
			{ID: "glaze-1", Kind: Glaze, Title: "First glaze", Role: catalog.RoleGlaze, Over: "field", Rate: "pair", Crew: 2, Wait: []catalog.WaitRule{
				{After: "ground-b", Glaze: "oil", From: hours(24), Why: "soft ground"},
				{After: "ground-b", Glaze: "metallic", From: hours(12), Why: "soft ground"}}},
			{ID: "glaze-2", Kind: Glaze, Title: "Second glaze", Role: catalog.RoleGlazeB, Over: "field", Rate: "pair", Crew: 2, Wait: []catalog.WaitRule{
				{Glaze: "oil", From: figure(36, 36, 48, "h"), Why: "merges"},
				{Glaze: "metallic", From: figure(18, 20, 24, "h"), Until: &catalog.Figure{Low: 72, Likely: 72, High: 72, Unit: "h"}, Why: "merges"}}},
		},
	}
}

// plainWall is a wall without openings, 2 m of it reached from the floor.
func plainWall(room, name string, length, height unit.Length, finish, substrate string) survey.Wall {
	outline := geom.Rect(0, 0, float64(length), float64(height))
	id := room + "/" + name
	net := unit.Rect(length, height)
	low := min(net, unit.Rect(length, 2000))
	face := survey.Face{
		ID: id, Wall: id, Room: room, Path: "rooms[0].walls[0]", Finish: finish, Field: outline.Region(), Gross: outline, Net: net,
		Edges: survey.Edges{Ceiling: length, Skirting: length, Corners: 2 * height},
		Reach: []survey.Reach{{From: "floor", Area: low}, {From: "steps", Area: net - low}},
	}
	wall := survey.Wall{Path: "rooms[0].walls[0]", Name: name, ID: id, Length: length, Height: height, Outline: outline, Substrate: substrate, Corner: "internal"}
	if finish != "" {
		wall.Faces = []survey.Face{face}
	}
	return wall
}

// closed joins walls round a room.
func closed(room string, walls ...survey.Wall) survey.Room {
	n := len(walls)
	for i := range walls {
		walls[i].Previous, walls[i].Next = walls[(i+n-1)%n].ID, walls[(i+1)%n].ID
	}
	return survey.Room{Path: "rooms[0]", Name: room, Closed: true, Walls: walls, FloorStrip: 12}
}

// halves sets a wall out in equal strips, the first of colour A.
func halves(wall survey.Wall, strips int) setout.Group {
	s := setout.Strips{Face: wall.ID, AreaA: unit.Rect(wall.Length, wall.Height) / 2, AreaB: unit.Rect(wall.Length, wall.Height) / 2}
	for i := 1; i < strips; i++ {
		x := wall.Length * unit.Length(i) / unit.Length(strips)
		s.Marks = append(s.Marks, setout.Mark{Number: i, Foot: x, Head: x})
	}
	return setout.Group{Faces: []string{wall.ID}, Options: []setout.Option{{Faces: []setout.Strips{s}}}}
}

func twoFinishes() *job.Job {
	return &job.Job{
		Building: job.Building{Built: 1999},
		Finishes: []job.Finish{
			{ID: "weave", Technique: "cross-drag-weave", With: "oil-glaze", Ground: job.Colour{Name: "Chalk"}, GroundB: job.Colour{Name: "Sage"},
				Glaze: job.Colour{Name: "Umber"}, GlazeB: job.Colour{Name: "Moss"}},
			{ID: "wash", Technique: "colourwash", With: "metallic-glaze", Ground: job.Colour{Name: "Chalk"}, Glaze: job.Colour{Name: "Pewter"}},
		},
		Rooms: []job.Room{{Name: "Study"}},
	}
}

// study is a closed room: two walls woven, one washed, one bare.
func study() (*survey.Survey, *setout.SetOut) {
	north := plainWall("Study", "North", 4000, 2500, "weave", "lime-plaster")
	s := &survey.Survey{Rooms: []survey.Room{closed("Study", north,
		plainWall("Study", "East", 3000, 2500, "wash", "painted-sound"),
		plainWall("Study", "South", 4000, 2500, "", "lime-plaster"),
		plainWall("Study", "West", 3000, 2500, "weave", "lime-plaster"))}}
	west := s.Rooms[0].Walls[3]
	return s, &setout.SetOut{Groups: []setout.Group{halves(north, 16), halves(west, 12)}}
}

// manyRooms is a survey of n walls, four to a room, with strips on every other room.
func manyRooms(n int) (*survey.Survey, *setout.SetOut) {
	s, so := &survey.Survey{}, &setout.SetOut{}
	for r := 0; 4*r < n; r++ {
		finish, name := "wash", fmt.Sprintf("Room %d", r+1)
		if r%2 == 0 {
			finish = "weave"
		}
		var walls []survey.Wall
		for i, side := range []string{"North", "East", "South", "West"} {
			walls = append(walls, plainWall(name, side, unit.Length(3000+100*(r%7)+10*i), 2600, finish, "lime-plaster"))
			if finish == "weave" {
				so.Groups = append(so.Groups, halves(walls[i], 12))
			}
		}
		s.Rooms = append(s.Rooms, closed(name, walls...))
	}
	return s, so
}
