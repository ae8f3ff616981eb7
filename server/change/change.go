// Package change tells in words what differs between two kept versions of a
// part file or a brake file.
//
// It compares values, not text: how a file is laid out makes no difference. The
// name of a value is its place in the file, as refusals write it.
package change

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Line is one value that differs. Before is empty where it was added, After
// where it was taken away.
type Line struct{ What, Before, After string }

// Between lists the values that differ, in the order of the later file, those
// that were taken away last. An error means that one of the two is no JSON.
func Between(before, after []byte) ([]Line, error) {
	was, wasOrder, err := flattened(before)
	if err != nil {
		return nil, err
	}
	is, isOrder, err := flattened(after)
	if err != nil {
		return nil, err
	}
	var lines []Line
	for _, name := range isOrder {
		if was[name] != is[name] {
			lines = append(lines, Line{name, was[name], is[name]})
		}
	}
	for _, name := range wasOrder {
		if _, kept := is[name]; !kept {
			lines = append(lines, Line{What: name, Before: was[name]})
		}
	}
	return lines, nil
}

// flattened gives every single value of a file by its place, and the places in
// order.
func flattened(file []byte) (values map[string]string, order []string, err error) {
	d := json.NewDecoder(strings.NewReader(string(file)))
	d.UseNumber()
	var root any
	if err := d.Decode(&root); err != nil {
		return nil, nil, fmt.Errorf("compare files: %w", err)
	}
	values = make(map[string]string)
	var walk func(at string, value any)
	walk = func(at string, value any) {
		switch v := value.(type) {
		case map[string]any:
			names := make([]string, 0, len(v))
			for name := range v {
				names = append(names, name)
			}
			slices.Sort(names)
			for _, name := range names {
				walk(strings.TrimPrefix(at+"."+name, "."), v[name])
			}
		case []any:
			if text, short := short(v); short {
				values[at], order = text, append(order, at)
				return
			}
			for i, item := range v {
				walk(at+named(item, i), item)
			}
		default:
			values[at], order = written(v), append(order, at)
		}
	}
	walk("", root)
	return values, order, nil
}

// named tells the items of a list apart: by their own name where they have one,
// so that a bar that was added does not shift the others.
func named(item any, i int) string {
	if fields, ok := item.(map[string]any); ok {
		for _, key := range []string{"name", "id"} {
			if name, ok := fields[key].(string); ok {
				return "[" + name + "]"
			}
		}
	}
	return "[" + strconv.Itoa(i) + "]"
}

// short writes a list of single values in one go: sizes of fingers, corners of
// a section.
func short(list []any) (string, bool) {
	var parts []string
	for _, item := range list {
		switch v := item.(type) {
		case map[string]any:
			return "", false
		case []any:
			inner, ok := short(v)
			if !ok {
				return "", false
			}
			parts = append(parts, "("+inner+")")
		default:
			parts = append(parts, written(v))
		}
	}
	return strings.Join(parts, ", "), true
}

// written writes a single value; numbers that are equal are written alike.
func written(value any) string {
	switch v := value.(type) {
	case nil:
		return "none"
	case json.Number:
		if f, err := v.Float64(); err == nil {
			return strconv.FormatFloat(f, 'f', -1, 64)
		}
		return v.String()
	case bool:
		return map[bool]string{true: "yes", false: "no"}[v]
	}
	return fmt.Sprint(value)
}
