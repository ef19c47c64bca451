package stroke

// trial is how a technique is worked in the tests: the figures of its catalog record.
type trial struct {
	variations []string // besides the plain way
	// low and high are the shares it may be asked to lift.
	low, high float64
	// adds tells that the tool lays glaze down itself, so it may put on more than it takes.
	adds    bool
	figures map[string]float64
}

// trials has a row for every technique; a pattern without one fails the tests.
var trials = map[string]trial{
	"dragging": {variations: []string{"criss-cross"}, low: 0.15, high: 0.25, figures: map[string]float64{
		"tool-width": 100, "overlap": 15, "bristle": 1.6, "groove": 0.4, "ridge": 1.3, "wander": 4, "wander-length": 500,
		"fills": 0.15, "pile": 0.3, "pile-start": 0.1, "pile-length": 75, "feather": 300,
		"crossed-contrast": 0.65, "cross-contrast": 0.85,
	}},
	"cross-drag-weave": {variations: []string{"one-glaze"}, low: 0.25, high: 0.35, figures: map[string]float64{
		"tool-width": 100, "overlap": 15, "bristle": 1.6, "groove": 0.4, "ridge": 1.3, "wander": 3, "wander-length": 400,
		"fills": 0.15, "end": 25, "level-contrast": 0.6, "stroke-length": 1000,
	}},
	"frottage": {variations: []string{"full-height", "plastic"}, low: 0.30, high: 0.55, figures: map[string]float64{
		"crease-cell": 25, "tight-cell": 15, "palm": 90, "sheet-turn": 18, "split": 0.6, "corner": 70,
		"fold-line": 2, "plastic-split": 0.3, "plastic-sheet": 900,
	}},
	"tissue-relief": {variations: []string{"brushed-back"}, low: 0.40, high: 0.60, figures: map[string]float64{
		"ridge-height": 0.3, "ridge-pitch": 25, "sheet-turn": 25, "ridge-left": 0.2, "valley-left": 0.8,
		"clean-ridge-left": 0.08, "dark-valley-left": 0.95, "spiral-pitch": 100,
	}},
	"palette-knife": {variations: []string{"crossed"}, low: 0.05, high: 0.20, figures: map[string]float64{
		"blade": 80, "stroke-length": 100, "bow": 0.12, "ridge-width": 1.6, "ridge-height": 0.7,
		"carried": 0.1, "ramp": 0.5, "chatter": 0.12,
	}},
	"colourwash": {variations: []string{"swirl", "upwards"}, low: 0.05, high: 0.10, figures: map[string]float64{
		"brush": 100, "stroke-length": 250, "sponge": 130, "arc-length": 350, "cloud": 0.2, "hair": 0.08, "hair-width": 2.5,
		"carried": 0.08, "cross-angle": 45, "cross-spread": 12, "swirl": 420, "run-width": 14, "run-length": 260,
	}},
	"combing": {variations: []string{"squares", "straight"}, low: 0.10, high: 0.20, figures: map[string]float64{
		"tool-width": 125, "tooth-pitch": 4.5, "coarse-pitch": 7, "groove": 0.1, "ridge": 1.45,
		"tremor": 0.7, "tremor-length": 35, "wave": 25, "wave-length": 500,
	}},
	"rag-rolling": {variations: []string{"hand-rag", "bagging"}, low: 0.25, high: 0.40, figures: map[string]float64{
		"tool-width": 180, "overlap": 25, "slant": 12, "fold-length": 50, "split": 0.5,
		"diagonal-length": 700, "strokes-per-clean": 3, "corner-width": 40, "paper-width": 65,
		"rag-length": 175, "rag-path": 500, "rag-lean": 40, "bag-width": 125, "bag-pitch": 0.7,
	}},
	"sponging-off": {variations: []string{"swirl"}, low: 0.20, high: 0.35, figures: map[string]float64{
		"tool-width": 110, "dab-pitch": 0.7, "swirl-width": 130, "swirl-pitch": 0.6, "piece-width": 50, "corner-width": 45,
		"paper-width": 65, "split": 0.4, "dabs-per-clean": 6,
	}},
	"two-tone-sponge-blend": {variations: []string{"soft"}, low: 0.01, high: 0.10, figures: map[string]float64{
		"tool-width": 120, "patch": 250, "blend-zone": 80, "stroke-length": 220, "stroke-lean": 45,
		"split": 0.3, "strokes-per-clean": 6,
	}},
}
