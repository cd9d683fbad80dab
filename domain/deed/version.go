package deed

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// Version is that of what lasts: the diary's details, the acts and what there is
// to choose between. Each is a JSON object with explicit names and "v" before all
// others. Those of the first year are version 0: without "v", by the names that
// the fields had in the program ("ToPosition").
const Version = 1

// pack writes v in today's version. A list becomes an object with "items".
func pack(v any) (json.RawMessage, error) {
	text, err := json.Marshal(v)
	if err != nil {
		return nil, err
	}
	head := fmt.Sprintf(`{"v":%d`, Version)
	switch {
	case string(text) == "{}":
		return json.RawMessage(head + "}"), nil
	case text[0] == '{':
		return json.RawMessage(head + "," + string(text[1:])), nil
	}
	return json.RawMessage(head + `,"items":` + string(text) + "}"), nil
}

// Unpack reads what lasts, in every version. What cannot be read, or was written by a
// program to come, is an error that says so.
func Unpack[T any](text json.RawMessage) (v T, err error) {
	if text, _, err = today(text); err != nil {
		return v, err
	}
	d := json.NewDecoder(bytes.NewReader(text))
	if err := d.Decode(&v); err != nil {
		return v, fmt.Errorf("its fields cannot be read: %w", err)
	}
	return v, nil
}

// Members returns the object that Unpack reads, with the names of version 1, and
// reports whether it was written in version 0: then it lacks what the program did
// not know yet.
func Members(text json.RawMessage) (v map[string]any, first bool, err error) {
	if text, first, err = today(text); err == nil {
		err = json.Unmarshal(text, &v)
	}
	return v, first, err
}

// today returns what lasts under the names of version 1, and reports whether it was
// written in version 0, in which a list was an array.
func today(text json.RawMessage) (_ json.RawMessage, first bool, err error) {
	if trimmed := bytes.TrimSpace(text); len(trimmed) > 0 && trimmed[0] == '[' {
		text = slices.Concat([]byte(`{"items":`), trimmed, []byte("}"))
	}
	var head struct {
		V *int `json:"v"`
	}
	if err := json.Unmarshal(text, &head); err != nil {
		return nil, false, fmt.Errorf("it is no JSON object: %w", err)
	}
	if head.V == nil {
		text, err = fromV0(text)
		return text, true, err
	}
	if *head.V != Version {
		return nil, false, fmt.Errorf("it is of version %d, and this program reads up to %d", *head.V, Version)
	}
	return text, false, nil
}

// fromV0 returns an object of version 0 under the names of version 1.
func fromV0(text json.RawMessage) (json.RawMessage, error) {
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	var v any
	if err := d.Decode(&v); err != nil {
		return nil, err
	}
	if _, ok := v.(map[string]any); !ok {
		return nil, errors.New("it is no JSON object")
	}
	return json.Marshal(snake(v))
}

func snake(v any) any {
	switch v := v.(type) {
	case map[string]any:
		out := make(map[string]any, len(v))
		for name, x := range v {
			out[snakeCase(name)] = snake(x)
		}
		return out
	case []any:
		for i := range v {
			v[i] = snake(v[i])
		}
	}
	return v
}

// snakeCase is "to_position" for "ToPosition", "sha256" for "SHA256".
func snakeCase(name string) string {
	var out strings.Builder
	before := 'A'
	for _, r := range name {
		if unicode.IsUpper(r) && unicode.IsLower(before) {
			out.WriteByte('_')
		}
		out.WriteRune(unicode.ToLower(r))
		before = r
	}
	return out.String()
}
