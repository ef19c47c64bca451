package job

import (
	"fmt"
	"reflect"
	"strings"
)

// field is one field of a group of the job file, as its tags describe it.
type field struct {
	index     int
	key       string
	doc       string
	must      bool
	signed    bool     // a length that may be negative
	one       []string // the words to choose from
	form      string   // pattern of a text
	standIn   string   // for a missing value; entries of a list parted by |
	low, high bound
	over      bound
}

// bound is a figure a value is held against, as typed and as read.
type bound struct {
	text  string // "" = none
	value float64
}

// shapes are the fields of all groups of a job file, in the order of their types.
var shapes = shapesOf(reflect.TypeFor[Job](), map[reflect.Type][]field{})

func shapesOf(t reflect.Type, all map[reflect.Type][]field) map[reflect.Type][]field {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct || wordFor(t) != "" || all[t] != nil {
		return all
	}
	for i := range t.NumField() {
		f := t.Field(i)
		key := f.Tag.Get("yaml")
		if key == "" || key == "-" {
			continue
		}
		low, high, _ := strings.Cut(f.Tag.Get("within"), "..")
		one := field{
			index:   i,
			key:     key,
			doc:     f.Tag.Get("doc"),
			must:    f.Tag.Get("must") == "give",
			signed:  f.Tag.Get("sign") == "either",
			form:    f.Tag.Get("form"),
			standIn: f.Tag.Get("default"),
		}
		if words := f.Tag.Get("one"); words != "" {
			one.one = strings.Split(words, "|")
		}
		one.low = boundOf(f.Type, low, one)
		one.high = boundOf(f.Type, high, one)
		one.over = boundOf(f.Type, f.Tag.Get("above"), one)
		all[t] = append(all[t], one)
		shapesOf(f.Type, all)
	}
	return all
}

// boundOf reads a bound like a value of the field it bounds.
func boundOf(t reflect.Type, text string, f field) bound {
	if text == "" {
		return bound{}
	}
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	v, err := readValue(t, text, f, 2)
	if err != nil {
		panic(fmt.Sprintf("the bound %q of the field %s: %s", text, f.key, err.what))
	}
	return bound{text, number(v)}
}

// check holds a value against the bounds of the field.
func (f field) check(v reflect.Value, text string) *fault {
	if f.over.text != "" && number(v) <= f.over.value {
		return &fault{quoted(text) + " is not above " + f.over.text, "write what it costs"}
	}
	if f.low.text == "" {
		return nil
	}
	n := number(v)
	switch {
	case f.high.text == "" && n < f.low.value:
		return &fault{quoted(text) + " is below " + f.low.text, "write " + f.low.text + " or more"}
	case f.high.text != "" && (n < f.low.value || n > f.high.value):
		do := "check the figure"
		switch bare := strings.Trim(text, "0123456789.,") == ""; {
		case bare && v.Type() == reflect.TypeFor[Length]():
			do = "a figure without a unit is millimetres: write " + quoted(text+" m") + " if metres are meant"
		case bare && v.Type() == reflect.TypeFor[Temp]():
			do = "a figure without a unit is degrees Celsius: write " + quoted(text+" F") + " if Fahrenheit is meant"
		}
		return &fault{quoted(text) + " lies outside " + f.low.text + " to " + f.high.text, do}
	}
	return nil
}

// number is the figure of a measure, an amount or a count.
func number(v reflect.Value) float64 {
	if v.Kind() == reflect.Struct {
		v = v.FieldByName("Value")
	}
	if v.CanInt() {
		return float64(v.Int())
	}
	return v.Float()
}

// setDefaults fills in what stands in for missing values.
func setDefaults(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			setDefaults(v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			setDefaults(v.Index(i))
		}
	case reflect.Struct:
		for _, f := range shapes[v.Type()] {
			value := v.Field(f.index)
			switch {
			case f.standIn == "" || !value.IsZero():
				setDefaults(value)
			case value.Kind() == reflect.Slice:
				value.Set(reflect.ValueOf(strings.Split(f.standIn, "|")))
			default:
				if read, err := readValue(value.Type(), f.standIn, f, 2); err == nil {
					value.Set(read)
				}
			}
		}
	}
}

// fieldsByKey are the fields of a group by their keys.
func fieldsByKey[T any]() map[string]field {
	all := map[string]field{}
	for _, f := range shapes[reflect.TypeFor[T]()] {
		all[f.key] = f
	}
	return all
}
