package job

import (
	"encoding/json"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/google/jsonschema-go/jsonschema"

	"scumble/internal/golden"
)

// The schema beside the package is the one the types make.
func TestSchemaFile(t *testing.T) {
	got, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	golden.Check(t, "../job.schema.json", got)
}

func resolvedSchema(t *testing.T) *jsonschema.Resolved {
	t.Helper()
	text, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	var s jsonschema.Schema
	if err := json.Unmarshal(text, &s); err != nil {
		t.Fatal(err)
	}
	resolved, err := s.Resolve(nil)
	if err != nil {
		t.Fatal(err)
	}
	return resolved
}

// validate reads YAML the way an editor does and holds it against the schema.
func validate(schema *jsonschema.Resolved, src []byte) error {
	var value any
	if err := yaml.Unmarshal(src, &value); err != nil {
		return err
	}
	text, err := json.Marshal(value) // so that numbers are those of JSON
	if err != nil {
		return err
	}
	var plain any
	if err := json.Unmarshal(text, &plain); err != nil {
		return err
	}
	return schema.Validate(plain)
}

func TestSoundJobsSuitSchema(t *testing.T) {
	schema := resolvedSchema(t)
	for name, src := range soundJobs(t) {
		if err := validate(schema, src); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}
