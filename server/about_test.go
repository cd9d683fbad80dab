package server_test

import (
	"fmt"
	"strings"
	"testing"

	"lathmark/domain/diary"
)

// A page says up to which diary entry it is current, and the next entry appears
// on it.
func TestPagesSayAsOfWhichEntry(t *testing.T) {
	w := newWorld(t)
	s := newSubject(t, w, "Mill Loft")
	foreman, spark := w.as(t, w.Foreman), w.as(t, w.Electrician)
	for range 2 {
		last := len(entries(t, w, s))
		for v, paths := range map[visitor][]string{
			foreman: {"/", "/tasks"},
			spark:   {"/tasks", "/ready"},
		} {
			for _, path := range paths {
				has(t, v.get(path), fmt.Sprintf(`data-seqs="{&#34;%s&#34;:%d}"`, s.ids["job"], last))
			}
		}
		for _, route := range []string{"/jobs/:job", "/jobs/:job/diary", "/rooms/:room", "/rooms/:room/measure",
			"/rooms/:room/set-out", "/rooms/:room/snags", "/rooms/:room/sign-offs/:stage"} {
			has(t, spark.get(s.path(t, route)), fmt.Sprintf(` data-job="%s"`, s.ids["job"]), fmt.Sprintf(` data-seq="%d"`, last))
		}
		foreman.post(s.path(t, "/rooms/:room/snags"), "what", "Scratch on the sill", "where", "by the window")
	}
	// A form that has to be mended is drawn as of now, too.
	page := foreman.refused(400, s.path(t, "/rooms/:room/snags"))
	has(t, page, fmt.Sprintf(` data-seq="%d"`, len(entries(t, w, s))))
	if page := (visitor{t: t, w: w}).get("/sign-in"); !strings.Contains(page, ` data-member=""`) ||
		strings.Contains(page, "data-member-name") || strings.Contains(page, "data-seq") {
		t.Error("the page for nobody does not say that it is nobody's")
	}
}

func entries(t *testing.T, w *world, s subject) []diary.Entry {
	t.Helper()
	all, err := w.Diary.Read(t.Context(), w.Foreman, w.read(t, s.ids["room"]).Record.Job, 0)
	if err != nil {
		t.Fatal(err)
	}
	return all
}
