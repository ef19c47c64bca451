package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"scumble": main})
}

// TestScripts runs the program as a user types it; each file is one story.
func TestScripts(t *testing.T) {
	demo, err := filepath.Abs(filepath.Join("..", "..", "examples", "bellwether", "job.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", "script"),
		RequireExplicitExec: true,
		Setup: func(env *testscript.Env) error {
			src, err := os.ReadFile(demo)
			if err != nil {
				return err
			}
			return os.WriteFile(filepath.Join(env.WorkDir, "bellwether.yaml"), src, 0o644)
		},
	})
}
