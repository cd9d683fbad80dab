package proof

import (
	"encoding/json"
	"fmt"
	"strconv"

	"lathmark/domain/id"
	"lathmark/domain/room"
)

// say says the value of a member: what an id names, and everything else as it is.
func (c *check) say(r *room.Record, v any) string {
	switch v := v.(type) {
	case nil:
		return "nothing"
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64)
	case doer:
		return v.by.who
	case doneAt:
		return when(v.by.at) + " or what the entry says"
	case string:
		if at, ok := timeOf(v); ok {
			return when(at)
		}
		if named := c.named(r, v); named != "" {
			return named
		}
		return strconv.Quote(v)
	}
	text, err := json.Marshal(v)
	if err != nil {
		return fmt.Sprint(v)
	}
	return string(text)
}

// named returns what has an id, "" for what is none.
func (c *check) named(r *room.Record, text string) string {
	key, err := id.Parse[id.Of[struct{}]](text)
	if err != nil {
		return ""
	}
	if name, known := c.people[id.Member(key)]; known {
		return name
	}
	if r == nil {
		return text
	}
	if p, err := r.Position(id.Position(key)); err == nil {
		return p.Name
	}
	if d, err := r.Datum(id.Datum(key)); err == nil {
		return d.Name
	}
	if s, err := r.Surface(id.Surface(key)); err == nil {
		return s.Name
	}
	return text
}
