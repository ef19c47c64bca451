package catalog

import (
	"embed"
	"fmt"
	"io/fs"
	"path"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"sync"
)

//go:embed data/*/*.yaml data/defaults.yaml
var embedded embed.FS

// Problem is an error in a catalog file: where, what is wrong, what to do.
// Line and column count from 1; both are 0 when the file as a whole is meant.
type Problem struct {
	File         string
	Line, Column int
	What         string
	Do           string
}

func (p Problem) String() string {
	at := p.File
	if p.Line > 0 {
		at = fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
	}
	return at + ": " + p.What + "; " + p.Do
}

// Problems are all errors found in the catalog files, by file and place.
type Problems []Problem

func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i := range p {
		lines[i] = p[i].String()
	}
	return strings.Join(lines, "\n")
}

// Files is the built-in data folder, to be loaded together with a crew's own.
func Files() fs.FS {
	data, err := fs.Sub(embedded, "data")
	if err != nil { // the name is constant and valid
		return embedded
	}
	return data
}

var builtin = sync.OnceValues(func() (*Catalog, error) { return Load(Files()) })

// Builtin is the catalog the program carries. It is read once; nobody may
// change it (Choose returns a copy).
func Builtin() (*Catalog, error) { return builtin() }

// Load reads catalog folders. A record in a later folder replaces the record of
// the same table and id in an earlier one; defaults are replaced field by field.
// The error is of type Problems and holds everything that is wrong.
func Load(folders ...fs.FS) (*Catalog, error) {
	loaded := newCatalog()
	records := map[string]*record{} // what stands in the catalog, by table/id
	var problems Problems
	for _, folder := range folders {
		files, found := list(folder)
		problems = append(problems, found...)
		for _, r := range readAll(folder, files) {
			problems = append(problems, r.problems...)
			if r.value.IsValid() {
				loaded.put(r, records)
			}
		}
	}
	if loaded.Defaults == nil {
		problems = append(problems, Problem{File: defaultsFile, What: "is missing", Do: "load the built-in folder first"})
		loaded.Defaults = &Defaults{}
	}
	problems = append(problems, loaded.check(records)...)
	if len(problems) > 0 {
		slices.SortStableFunc(problems, func(a, b Problem) int {
			if c := strings.Compare(a.File, b.File); c != 0 {
				return c
			}
			if a.Line != b.Line {
				return a.Line - b.Line
			}
			return a.Column - b.Column
		})
		return nil, problems
	}
	return loaded, nil
}

const defaultsFile = "defaults.yaml"

// tables are the folders of the catalog and the types of their records.
var tables = map[string]reflect.Type{
	"techniques":   reflect.TypeFor[Technique](),
	"preparations": reflect.TypeFor[Preparation](),
	"products":     reflect.TypeFor[Product](),
	"goods":        reflect.TypeFor[Good](),
	"substrates":   reflect.TypeFor[Substrate](),
	"rates":        reflect.TypeFor[Rate](),
	"rules":        reflect.TypeFor[MeasuringRule](),
	"limits":       reflect.TypeFor[Limit](),
	"cautions":     reflect.TypeFor[Caution](),
	"sources":      reflect.TypeFor[Source](),
}

func newCatalog() *Catalog {
	return &Catalog{
		Techniques: map[string]*Technique{}, Preparations: map[string]*Preparation{},
		Products: map[string]*Product{}, Goods: map[string]*Good{},
		Substrates: map[string]*Substrate{}, Rates: map[string]*Rate{},
		Rules: map[string]*MeasuringRule{}, Limits: map[string]*Limit{},
		Cautions: map[string]*Caution{}, Sources: map[string]*Source{},
	}
}

// table is the map of the catalog behind a folder name, as a reflect.Value.
func (c *Catalog) table(name string) reflect.Value {
	switch name {
	case "techniques":
		return reflect.ValueOf(c.Techniques)
	case "preparations":
		return reflect.ValueOf(c.Preparations)
	case "products":
		return reflect.ValueOf(c.Products)
	case "goods":
		return reflect.ValueOf(c.Goods)
	case "substrates":
		return reflect.ValueOf(c.Substrates)
	case "rates":
		return reflect.ValueOf(c.Rates)
	case "rules":
		return reflect.ValueOf(c.Rules)
	case "limits":
		return reflect.ValueOf(c.Limits)
	case "cautions":
		return reflect.ValueOf(c.Cautions)
	case "sources":
		return reflect.ValueOf(c.Sources)
	}
	return reflect.Value{}
}

// record is one file after reading.
type record struct {
	file     string
	table    string // "" for the defaults
	id       string
	value    reflect.Value // pointer to the record; not valid if the file could not be read
	given    map[string]bool
	refs     []reference
	problems Problems
}

// list names the record files of a folder, sorted, and complains of strays.
func list(folder fs.FS) ([]string, Problems) {
	var files []string
	var problems Problems
	err := fs.WalkDir(folder, ".", func(name string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			problems = append(problems, Problem{File: name, What: "cannot be read: " + err.Error(), Do: "check the folder and its rights"})
		case entry.IsDir():
			if strings.HasPrefix(entry.Name(), ".") && name != "." {
				return fs.SkipDir
			}
		case path.Ext(name) == ".yaml":
			_, known := tables[path.Dir(name)]
			if !known && name != defaultsFile {
				problems = append(problems, Problem{File: name, What: "lies in no folder of the catalog",
					Do: "put it in one of " + strings.Join(tableNames(), ", ")})
				return nil
			}
			files = append(files, name)
		case path.Ext(name) == ".yml":
			problems = append(problems, Problem{File: name, What: "is not read", Do: "name it .yaml"})
		}
		return nil
	})
	if err != nil {
		problems = append(problems, Problem{File: ".", What: err.Error(), Do: "check the folder"})
	}
	slices.Sort(files)
	return files, problems
}

func tableNames() []string {
	names := make([]string, 0, len(tables))
	for name := range tables {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// readAll reads the files side by side and keeps their order.
func readAll(folder fs.FS, files []string) []*record {
	records := make([]*record, len(files))
	hands := min(runtime.GOMAXPROCS(0), len(files))
	var wait sync.WaitGroup
	for hand := range hands {
		wait.Go(func() {
			for i := hand; i < len(files); i += hands {
				records[i] = read(folder, files[i])
			}
		})
	}
	wait.Wait()
	return records
}

// read decodes one file.
func read(folder fs.FS, file string) *record {
	r := &record{file: file}
	kind := reflect.TypeFor[Defaults]()
	if file != defaultsFile {
		r.table = path.Dir(file)
		r.id = strings.TrimSuffix(path.Base(file), ".yaml")
		kind = tables[r.table]
	}
	src, err := fs.ReadFile(folder, file)
	if err != nil {
		r.problems = Problems{{File: file, What: "cannot be read: " + err.Error(), Do: "check the file and its rights"}}
		return r
	}
	value := reflect.New(kind)
	d := decoder{file: file, partial: r.table == ""}
	d.document(src, value.Elem())
	r.refs, r.given, r.problems = d.refs, d.given, d.problems
	if r.table != "" {
		if id := value.Elem().FieldByName("ID").String(); id != r.id && id != "" {
			r.problems = append(r.problems, Problem{File: file, What: fmt.Sprintf("holds the id %q", id), Do: "let the file be named ID.yaml"})
		}
	}
	r.value = value
	return r
}

// put stores a record in the catalog, over an earlier one of the same id.
func (c *Catalog) put(r *record, records map[string]*record) {
	if r.table != "" {
		c.table(r.table).SetMapIndex(reflect.ValueOf(r.id), r.value)
		records[r.table+"/"+r.id] = r
		return
	}
	merged := Defaults{}
	if c.Defaults != nil {
		merged = *c.Defaults
	}
	to, from := reflect.ValueOf(&merged).Elem(), r.value.Elem()
	for _, f := range fieldsOf(to.Type()) {
		if r.given[f.name] {
			to.Field(f.index).Set(from.Field(f.index))
		}
	}
	c.Defaults = &merged
	if earlier, ok := records["defaults"]; ok {
		r.refs = append(slices.Clone(earlier.refs), r.refs...)
	}
	records["defaults"] = r
}
