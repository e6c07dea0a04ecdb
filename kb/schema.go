package kb

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
)

// Schema gives the JSON Schema (draft-07) of a kind of entry, made from the
// types; comments gives the text of a field by "Type.Field", as the generator
// reads it from the source.
func Schema(k Kind, comments map[string]string) ([]byte, error) {
	e := blank(k)
	if e == nil {
		return nil, fmt.Errorf("there is no kind %q", k)
	}
	return SchemaOf(string(k), reflect.TypeOf(e).Elem(), comments)
}

// SelfDescribed is a type that is written otherwise than its Go type tells and
// says itself what stands in the file.
type SelfDescribed interface{ JSONSchema() map[string]any }

// SchemaOf gives the JSON Schema of any record that Strict reads, with its kind.
func SchemaOf(k string, t reflect.Type, comments map[string]string) ([]byte, error) {
	s := schemer{comments: comments}
	doc := s.object(t)
	doc["$schema"] = "http://json-schema.org/draft-07/schema#"
	doc["title"] = "faultbook " + k
	doc["properties"].(map[string]any)["kind"] = map[string]any{"const": k}
	data, err := json.MarshalIndent(doc, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("schema of %s: %w", k, err)
	}
	return append(data, '\n'), nil
}

type schemer struct{ comments map[string]string }

// node is a schema, or a part of one.
type node = map[string]any

func (s schemer) object(t reflect.Type) node {
	props, required := node{}, []string{}
	s.fields(t, props, &required)
	return node{"type": "object", "additionalProperties": false, "properties": props, "required": required}
}

func (s schemer) fields(t reflect.Type, props node, required *[]string) {
	for i := range t.NumField() {
		f := t.Field(i)
		name, option, _ := strings.Cut(f.Tag.Get("yaml"), ",")
		if f.Tag.Get("yaml") == "" {
			continue // not written
		}
		if option == "inline" {
			s.fields(f.Type, props, required)
			continue
		}
		prop := s.of(f.Type)
		if text := s.comments[t.Name()+"."+f.Name]; text != "" {
			prop["description"] = text
		}
		props[name] = prop
		if option != "omitempty" {
			*required = append(*required, name)
		}
	}
}

func (s schemer) of(t reflect.Type) node {
	if self, ok := reflect.Zero(t).Interface().(SelfDescribed); ok && t.Kind() != reflect.Pointer {
		return self.JSONSchema()
	}
	id := node{"type": "string", "pattern": validID.String()}
	switch t {
	case reflect.TypeFor[Chance]():
		return node{"oneOf": []any{node{"enum": scaleWords(likelihoods())}, node{"type": "number", "minimum": 0, "maximum": 1}}}
	case reflect.TypeFor[Frequency]():
		return node{"enum": scaleWords(frequencies())}
	case reflect.TypeFor[Sense]():
		return node{"enum": []string{"look", "colour", "history", "technician", "instrument"}}
	case reflect.TypeFor[Who]():
		return node{"enum": []string{"caller", "technician", "other"}}
	case reflect.TypeFor[Tells]():
		return node{"type": "object", "additionalProperties": s.of(reflect.TypeFor[Row]())}
	case reflect.TypeFor[Row]():
		return node{"type": "object", "minProperties": 1, "additionalProperties": s.of(reflect.TypeFor[Chance]())}
	case reflect.TypeFor[SymptomRef](), reflect.TypeFor[Cure]():
		return node{"oneOf": []any{id, s.object(t)}}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return s.of(t.Elem())
	case reflect.Slice:
		return node{"type": "array", "items": s.of(t.Elem())}
	case reflect.Struct:
		return s.object(t)
	case reflect.Bool:
		return node{"type": "boolean"}
	case reflect.Int:
		return node{"type": "integer", "minimum": 0}
	case reflect.Float64:
		return node{"type": "number", "minimum": 0}
	}
	return node{"type": "string", "minLength": 1}
}

func scaleWords(scale []step) []string {
	list := make([]string, len(scale))
	for i, s := range scale {
		list[i] = s.word
	}
	return list
}
