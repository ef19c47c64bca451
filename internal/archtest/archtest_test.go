// Package archtest holds the import table of the project as a test. The table is
// policy: it is not edited to make a build pass.
package archtest

import (
	"bufio"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "scumble/"

// table lists every package, lowest first, and what it may import of this module.
const table = `
unit        :
geom        : unit
catalog     : unit
job         : unit
survey      : unit geom job
setout      : unit geom catalog job survey
method      : unit geom catalog job survey setout
quantity    : unit catalog job survey setout method
drying      : unit catalog job
drying/weather : unit drying job
experience  : unit catalog job drying
schedule/exact :
schedule/place :
schedule/model : schedule/place schedule/exact
schedule/solve : schedule/place schedule/model schedule/exact
schedule/project : schedule/exact
schedule    : unit catalog job survey method drying schedule/place schedule/model schedule/solve
schedule/check : unit catalog job survey method drying schedule/place schedule/solve schedule/project schedule
schedule/trial : schedule/place schedule/check
wetedge     : unit geom catalog job survey setout method drying schedule
vapour      : unit geom catalog job survey method quantity drying schedule
price       : unit catalog job survey method quantity schedule
plan        : unit catalog job survey setout method quantity experience schedule vapour price
appearance/colour   :
appearance/measured : job appearance/colour
appearance/film     : appearance/colour
appearance/stroke   : geom
appearance/finish   : unit geom catalog job appearance/colour appearance/film appearance/stroke
appearance  : unit geom catalog job survey setout appearance/colour appearance/film appearance/stroke appearance/finish
why         : unit catalog job survey setout method quantity drying schedule vapour wetedge price plan
draw/outline  : geom
draw/typeface : draw/outline
draw/raster   : draw/outline
draw/pdffile  : draw/outline draw/typeface
draw/svgfile  : draw/outline draw/typeface
draw/dxffile  : geom
draw        : geom draw/outline draw/typeface draw/raster draw/pdffile draw/svgfile draw/dxffile
sheets/drafting  : unit geom draw
sheets/pattern   : unit geom job setout draw
sheets/elevation : unit geom catalog job survey setout draw sheets/drafting sheets/pattern
sheets/desk      : unit geom catalog job survey setout method quantity schedule wetedge price appearance/finish appearance plan draw sheets/drafting sheets/pattern sheets/elevation
sheets/client    : unit geom catalog job survey method quantity schedule price appearance/colour appearance/finish appearance plan draw sheets/drafting sheets/pattern sheets/elevation sheets/desk
sheets/wall      : unit geom catalog job survey setout method quantity drying schedule wetedge plan draw sheets/drafting sheets/pattern sheets/elevation sheets/desk
sheets/mixing    : unit catalog job method quantity price plan draw sheets/drafting sheets/pattern sheets/desk
sheets/programme : unit catalog job survey method quantity schedule plan draw sheets/drafting sheets/pattern sheets/desk
sheets/site      : unit catalog job survey method quantity schedule vapour plan draw sheets/drafting sheets/desk
sheets      : catalog job experience survey setout method quantity schedule vapour price plan draw sheets/desk sheets/client sheets/wall sheets/mixing sheets/programme sheets/site
examples    :
store       :
web/asset   :
web/work    :
web/board   : unit geom catalog job survey setout method quantity drying schedule price plan
web/drawing : unit geom survey setout
web/frame   : unit geom catalog job survey setout method quantity drying schedule price plan appearance store web/asset web/board web/drawing web/work
web/jobs    : unit job examples store web/drawing web/frame
web/measure : unit catalog survey web/board web/drawing web/frame
web/setout  : unit geom catalog job survey setout method quantity drying schedule price plan why web/board web/drawing web/frame
web/coats   : unit geom catalog job survey setout method quantity drying schedule price plan why web/board web/drawing web/frame
web/choose  : unit geom catalog job survey setout method quantity drying schedule price plan appearance/colour appearance/measured appearance/stroke appearance/finish appearance why web/board web/drawing web/frame
web/account : store web/frame
web/pair    : unit geom catalog job survey setout method quantity drying schedule wetedge price plan web/board web/drawing web/frame
web/programme : unit geom catalog job survey setout method quantity drying schedule price plan why web/board web/drawing web/frame
web/buy     : unit geom catalog job survey setout method quantity drying schedule price plan why web/board web/frame
web/air     : unit geom catalog job survey setout method quantity drying drying/weather schedule vapour price plan web/board web/frame
web/safety  : unit geom catalog job survey setout method quantity drying schedule price plan why web/board web/frame
web/price   : unit geom catalog job survey setout method quantity drying schedule price plan why web/board web/drawing web/frame
web/papers  : unit geom catalog job survey setout method quantity drying schedule price plan draw sheets web/board web/frame web/work
web/history : unit geom catalog job survey setout method quantity drying schedule price plan store web/board web/drawing web/frame
web/client  : unit geom catalog job survey setout method quantity drying schedule price plan appearance/finish appearance store web/asset web/board web/drawing web/frame
web/api     : unit geom catalog job survey setout method quantity drying schedule wetedge price plan appearance why sheets examples store web/board web/frame web/work
web         : catalog store web/asset web/work web/frame web/jobs web/measure web/choose web/setout web/coats web/pair web/programme web/buy web/air web/safety web/price web/account web/papers web/history web/client web/api
cmd/scumble : store web/account web unit geom catalog job survey setout method quantity drying drying/weather schedule vapour wetedge price appearance/colour appearance/measured appearance/finish appearance plan why draw sheets/elevation sheets examples
`

// outside are standard packages that reach beyond values, and who may use them.
var outside = map[string][]string{
	"os":            {"cmd/scumble", "store"},
	"net/http":      {"cmd/scumble", "web"},
	"log":           {"cmd/scumble"},
	"log/slog":      {"cmd/scumble", "web"},
	"os/exec":       {},
	"math/rand":     {},
	"html/template": {"web"},
	"database/sql":  {"store"},
}

func root() string { return filepath.Join("..", "..") }

// goFiles calls visit for every non-test Go file of the module with its folder.
func goFiles(t *testing.T, visit func(dir, path string, file *ast.File)) {
	t.Helper()
	err := filepath.WalkDir(root(), func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (strings.HasPrefix(d.Name(), ".") && d.Name() != "." && d.Name() != ".." || d.Name() == "testdata") {
			return filepath.SkipDir
		}
		if _, err := os.Stat(filepath.Join(path, "go.mod")); err == nil && path != root() {
			return filepath.SkipDir // a module of its own
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		dir, err := filepath.Rel(root(), filepath.Dir(path))
		if err != nil {
			return err
		}
		visit(filepath.ToSlash(dir), path, file)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// top is the folder a package lies in; all of web may do what web may.
func top(dir string) string {
	if first, _, _ := strings.Cut(dir, "/"); first == "web" {
		return first
	}
	return dir
}

func readTable(t *testing.T) (allowed map[string][]string) {
	t.Helper()
	allowed = map[string][]string{}
	for line := range strings.Lines(table) {
		name, rest, ok := strings.Cut(strings.TrimSpace(line), ":")
		if !ok {
			continue
		}
		name = strings.TrimSpace(name)
		for _, below := range strings.Fields(rest) {
			if _, seen := allowed[below]; !seen {
				t.Errorf("table: %s may not import %s, which does not stand above it", name, below)
			}
		}
		allowed[name] = strings.Fields(rest)
	}
	return allowed
}

func TestImportsGoDownTheTable(t *testing.T) {
	allowed := readTable(t)
	seen := map[string]bool{}
	goFiles(t, func(dir, path string, file *ast.File) {
		if strings.Contains("/"+dir, "/internal/") || dir == "bench" || strings.HasPrefix(dir, "bench/") {
			return
		}
		may, listed := allowed[dir]
		if !listed {
			t.Errorf("%s: package %s is not in the table; place it and tell why in ARCHITECTURE.md", path, dir)
		}
		seen[dir] = true
		for _, spec := range file.Imports {
			name, _ := strconv.Unquote(spec.Path.Value)
			if below, own := strings.CutPrefix(name, module); own && !slices.Contains(may, below) {
				t.Errorf("%s imports %s: not in the table", path, name)
			}
			if who, guarded := outside[name]; guarded && !slices.Contains(who, top(dir)) {
				t.Errorf("%s imports %s: values in, values out; only %v may", path, name, who)
			}
		}
	})
	for name := range allowed {
		if !seen[name] {
			t.Errorf("table: package %s has no Go file", name)
		}
	}
}

// TestNoClock: stages get dates from the job and never ask what time it is.
func TestNoClock(t *testing.T) {
	goFiles(t, func(dir, path string, file *ast.File) {
		if dir == "cmd/scumble" || strings.Contains("/"+dir, "/internal/") || dir == "bench" || strings.HasPrefix(dir, "bench/") {
			return
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if sel, ok := n.(*ast.SelectorExpr); ok {
				if pkg, ok := sel.X.(*ast.Ident); ok && pkg.Name == "time" && slices.Contains([]string{"Now", "Since", "Sleep"}, sel.Sel.Name) {
					t.Errorf("%s calls time.%s: same input, same bytes out", path, sel.Sel.Name)
				}
			}
			return true
		})
	})
}

func TestEveryPackageSaysWhatItIs(t *testing.T) {
	docs := map[string]bool{}
	goFiles(t, func(dir, _ string, file *ast.File) {
		docs[dir] = docs[dir] || file.Doc != nil
	})
	for dir, has := range docs {
		if !has {
			t.Errorf("package %s has no package comment", dir)
		}
	}
}

// TestDependenciesAreListed: each direct dependency stands in ARCHITECTURE.md with its reason.
func TestDependenciesAreListed(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(root(), "ARCHITECTURE.md"))
	if err != nil {
		t.Fatal(err)
	}
	mod, err := os.Open(filepath.Join(root(), "go.mod"))
	if err != nil {
		t.Fatal(err)
	}
	defer mod.Close()
	row := regexp.MustCompile(`^\s+(\S+) v\S+$`)
	for lines := bufio.NewScanner(mod); lines.Scan(); {
		if m := row.FindStringSubmatch(lines.Text()); m != nil && !strings.Contains(string(text), "`"+m[1]+"`") {
			t.Errorf("go.mod requires %s, which ARCHITECTURE.md does not list with its reason", m[1])
		}
	}
}
