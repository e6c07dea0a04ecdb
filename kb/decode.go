package kb

import (
	"encoding"
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// reporter takes what is wrong at a node.
type reporter func(node *yaml.Node, code, text string)

// decode fills v from node, strictly: unknown and repeated keys, wrong kinds,
// empty values and aliases are reported, each at its own place, and the rest
// is still filled, so that one run shows every mistake of a file. The
// standard decoder stops at the first and knows no columns.
func decode(node *yaml.Node, v reflect.Value, report reporter) {
	if node.Kind == yaml.AliasNode || node.Anchor != "" {
		report(node, "no-alias", "anchors and aliases are not used in a book: write the text out")
		return
	}
	if special(node, v, report) {
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		decode(node, v.Elem(), report)
	case reflect.Struct:
		decodeStruct(node, v, report)
	case reflect.Slice:
		decodeSlice(node, v, report)
	default:
		decodeScalar(node, v, report)
	}
}

// special handles the types that are written otherwise than they are kept.
func special(node *yaml.Node, v reflect.Value, report reporter) bool {
	switch target := v.Addr().Interface().(type) {
	case *Tells:
		pairs(node, report, func(key, value *yaml.Node) {
			tell := Tell{Question: key.Value}
			decode(value, reflect.ValueOf(&tell.Row).Elem(), report)
			*target = append(*target, tell)
		})
	case *Row:
		pairs(node, report, func(key, value *yaml.Node) {
			share := Share{Answer: key.Value}
			decode(value, reflect.ValueOf(&share.Chance).Elem(), report)
			*target = append(*target, share)
		})
	case *Chance:
		c, err := ParseChance(node.Value)
		if node.Kind != yaml.ScalarNode || err != nil {
			report(node, "bad-likelihood", orText(err, "a likelihood is one word or number"))
		}
		*target = c
	case *SymptomRef:
		return bareID(node, &target.ID, report)
	case *Cure:
		return bareID(node, &target.ID, report)
	case encoding.TextUnmarshaler:
		if !decodeText(node, target, report) {
			return true
		}
	default:
		return false
	}
	return true
}

// decodeText hands a scalar to a type that reads itself: a figure with its
// unit, a day.
func decodeText(node *yaml.Node, target encoding.TextUnmarshaler, report reporter) bool {
	text := strings.TrimSpace(node.Value)
	switch {
	case node.Kind != yaml.ScalarNode:
		report(node, "wrong-kind", "here must stand one value, not a list or mapping")
	case node.Tag == "!!null" || text == "":
		report(node, "empty-value", "the value is empty: fill it or leave the key out")
	default:
		err := target.UnmarshalText([]byte(text))
		if err != nil {
			report(node, "bad-figure", err.Error())
		}
		return err == nil
	}
	return false
}

func orText(err error, text string) string {
	if err != nil {
		return err.Error()
	}
	return text
}

// bareID takes a plain scalar as the id of a mapping type.
func bareID(node *yaml.Node, id *string, report reporter) bool {
	if node.Kind != yaml.ScalarNode {
		return false
	}
	decodeScalar(node, reflect.ValueOf(id).Elem(), report)
	return true
}

// pairs walks a mapping and reports keys that stand twice.
func pairs(node *yaml.Node, report reporter, each func(key, value *yaml.Node)) {
	if node.Kind != yaml.MappingNode {
		report(node, "wrong-kind", "here must stand a mapping, as `key: value`")
		return
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(node.Content); i += 2 {
		key := node.Content[i]
		if seen[key.Value] {
			report(key, "key-twice", fmt.Sprintf("%q stands twice: keep one", key.Value))
			continue
		}
		seen[key.Value] = true
		each(key, node.Content[i+1])
	}
}

func decodeStruct(node *yaml.Node, v reflect.Value, report reporter) {
	fields := fieldsOf(v)
	pairs(node, report, func(key, value *yaml.Node) {
		field, ok := fields.byName[key.Value]
		if !ok {
			report(key, "unknown-key", fmt.Sprintf("unknown key %q%s; known here: %s",
				key.Value, nearest(key.Value, fields.names), strings.Join(fields.names, ", ")))
			return
		}
		decode(value, field, report)
	})
}

// fields are the YAML keys of a struct in their order.
type fields struct {
	names  []string
	byName map[string]reflect.Value
}

func fieldsOf(v reflect.Value) fields {
	f := fields{byName: map[string]reflect.Value{}}
	for i := 0; i < v.NumField(); i++ {
		tag := v.Type().Field(i).Tag.Get("yaml")
		name, option, _ := strings.Cut(tag, ",")
		if tag == "" {
			continue // not written
		}
		if option == "inline" {
			inner := fieldsOf(v.Field(i))
			f.names = append(f.names, inner.names...)
			for k, value := range inner.byName {
				f.byName[k] = value
			}
			continue
		}
		f.names = append(f.names, name)
		f.byName[name] = v.Field(i)
	}
	return f
}

func decodeSlice(node *yaml.Node, v reflect.Value, report reporter) {
	if node.Kind != yaml.SequenceNode {
		report(node, "wrong-kind", "here must stand a list, as `[a, b]` or one `- item` a line")
		return
	}
	list := reflect.MakeSlice(v.Type(), len(node.Content), len(node.Content))
	for i, item := range node.Content {
		decode(item, list.Index(i), report)
	}
	if list.Len() > 0 {
		v.Set(list)
	}
}

func decodeScalar(node *yaml.Node, v reflect.Value, report reporter) {
	if node.Kind != yaml.ScalarNode {
		report(node, "wrong-kind", "here must stand one value, not a list or mapping")
		return
	}
	text := strings.TrimSpace(node.Value)
	if node.Tag == "!!null" || text == "" {
		report(node, "empty-value", "the value is empty: fill it or leave the key out")
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(text)
	case reflect.Bool:
		if node.Tag != "!!bool" {
			report(node, "wrong-kind", fmt.Sprintf("%q must be true or false", text))
		}
		v.SetBool(text == "true")
	case reflect.Int:
		n, err := strconv.Atoi(text)
		if err != nil {
			report(node, "wrong-kind", fmt.Sprintf("%q must be a whole number", text))
		}
		v.SetInt(int64(n))
	case reflect.Float64:
		f, err := strconv.ParseFloat(text, 64)
		if err != nil || f < 0 || f > 1e6 {
			report(node, "wrong-kind", fmt.Sprintf("%q must be a number from 0 to 1000000", text))
			f = 0
		}
		v.SetFloat(f)
	}
}
