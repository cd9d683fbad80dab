package api_test

import (
	"encoding/json"
	"net/http"
	"testing"
)

func TestProbe(t *testing.T) {
	s := newSite(t)
	w := s.ask(nobody, http.MethodGet, "/openapi.json", nil, 200, nil)
	var v any
	json.Unmarshal(w.Body.Bytes(), &v)
	t.Log(w.Body.String()[:6000])
}
