package job

import (
	"encoding/json"
	"reflect"
	"strings"

	"github.com/google/jsonschema-go/jsonschema"
)

// Schema is the JSON Schema (2020-12) of a job file, for editors that complete
// and check while typing. It knows shapes, words and bounds of plain numbers;
// Read and Check know more.
func Schema() ([]byte, error) {
	defs := map[string]*jsonschema.Schema{}
	root := groupSchema(reflect.TypeFor[Job](), defs)
	root.Schema = "https://json-schema.org/draft/2020-12/schema"
	root.Title = "Job file of scumble"
	root.Defs = defs
	text, err := json.MarshalIndent(root, "", "  ")
	return append(text, '\n'), err
}

// groupSchema describes a group of fields; the groups inside it go to defs.
func groupSchema(t reflect.Type, defs map[string]*jsonschema.Schema) *jsonschema.Schema {
	s := &jsonschema.Schema{
		Type:                 "object",
		Properties:           map[string]*jsonschema.Schema{},
		AdditionalProperties: &jsonschema.Schema{Not: &jsonschema.Schema{}},
	}
	for _, f := range shapes[t] {
		value := valueSchema(t.Field(f.index).Type, f, defs)
		value.Description = f.doc
		s.Properties[f.key] = value
		s.PropertyOrder = append(s.PropertyOrder, f.key)
		if f.must || needs(t.Field(f.index).Type) {
			s.Required = append(s.Required, f.key)
		}
	}
	return s
}

// needs reports whether a group cannot be left out, because something in it
// must be given.
func needs(t reflect.Type) bool {
	for _, f := range shapes[t] {
		if f.must || needs(t.Field(f.index).Type) {
			return true
		}
	}
	return false
}

func valueSchema(t reflect.Type, f field, defs map[string]*jsonschema.Schema) *jsonschema.Schema {
	switch {
	case t.Kind() == reflect.Pointer:
		return valueSchema(t.Elem(), f, defs)
	case wordFor(t) != "":
		return leafSchema(t, f)
	case t.Kind() == reflect.Map:
		return &jsonschema.Schema{Type: "object", AdditionalProperties: &jsonschema.Schema{Type: "string"}}
	case t.Kind() == reflect.Slice:
		list := &jsonschema.Schema{Type: "array"}
		if f.standIn != "" {
			list.Default, _ = json.Marshal(strings.Split(f.standIn, "|")) // strings always encode
			f.standIn = ""
		}
		list.Items = valueSchema(t.Elem(), f, defs)
		if f.must {
			least := 1
			list.MinItems = &least
		}
		return list
	}
	name := strings.ToLower(t.Name())
	if defs[name] == nil {
		defs[name] = &jsonschema.Schema{} // ends the recursion; replaced below
		defs[name] = groupSchema(t, defs)
	}
	return &jsonschema.Schema{Ref: "#/$defs/" + name}
}

// leafSchema describes a single value. Measures and amounts may be typed with
// their unit or as a bare figure.
func leafSchema(t reflect.Type, f field) *jsonschema.Schema {
	s := &jsonschema.Schema{Type: "string", Pattern: f.form}
	switch t {
	case reflect.TypeFor[string]():
		for _, word := range f.one {
			s.Enum = append(s.Enum, word)
		}
		if len(f.one) == 0 && f.form == "" { // "reference: 2027" is text enough
			s.Type, s.Types = "", []string{"string", "number"}
		}
	case reflect.TypeFor[Date]():
		s.Pattern = dateForm
	case reflect.TypeFor[Moment]():
		s.Pattern = momentForm
	case reflect.TypeFor[Span]():
		s.Pattern = spanForm
	case reflect.TypeFor[bool]():
		s.Type = "boolean"
	case reflect.TypeFor[int](), reflect.TypeFor[int64](), reflect.TypeFor[float64]():
		s.Type = "integer"
		if t.Kind() == reflect.Float64 {
			s.Type = "number"
		}
		if f.low.text != "" {
			s.Minimum = &f.low.value
		}
		if f.high.text != "" {
			s.Maximum = &f.high.value
		}
	default:
		s.Type, s.Types = "", []string{"string", "number"}
	}
	if f.standIn != "" {
		s.Default = json.RawMessage(f.standIn)
		if s.Type == "string" {
			s.Default, _ = json.Marshal(f.standIn) // a string always encodes
		}
	}
	return s
}
