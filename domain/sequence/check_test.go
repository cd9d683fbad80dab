package sequence

import (
	"strings"
	"testing"

	"lathmark/domain/fault"
)

// What is wrong is named, with its path.
func TestCheckNamesWhatIsWrong(t *testing.T) {
	minus := -2
	for _, c := range []struct {
		name, path string
		says       []string
		p          Project
	}{
		{"a circle", "$.work[1].after", []string{"b, d, c"}, Project{Work: []Work{{ID: "a"}, {ID: "b",
			After: []After{{Work: "a"}, {Work: "d"}}}, {ID: "c", After: []After{{Work: "b"}}},
			{ID: "d", After: []After{{Work: "c"}}}, {ID: "e", After: []After{{Work: "d"}}}}}},
		{"a circle of one", "$.work[0].after", []string{"a comes after itself"},
			Project{Work: []Work{{ID: "a", After: []After{{Work: "a"}}}}}},
		{"an unknown piece", "$.work[0].after[0].id", []string{"no such piece", `"no one"`},
			Project{Work: []Work{{ID: "a", After: []After{{Work: "no one"}}}}}},
		{"an unknown crew", "$.work[0].needs.R2", []string{"no such crew"},
			Project{Crews: []Crew{{ID: "R1", Size: 1}}, Work: []Work{{ID: "a", Needs: []Need{{"R2", 1}}}}}},
		{"a need over the crew", "$.work[0].needs['R-1']", []string{"a needs 2 of R-1, whose size is 1"},
			Project{Crews: []Crew{{ID: "R-1", Size: 1}}, Work: []Work{{ID: "a", Needs: []Need{{"R-1", 2}}}}}},
		{"negative days", "$.work[0].days", []string{"-1"}, Project{Work: []Work{{ID: "a", Days: -1}}}},
		{"a negative lag", "$.work[1].after[0].lag", []string{"-1"},
			Project{Work: []Work{{ID: "a"}, {ID: "b", After: []After{{Work: "a", Lag: -1}}}}}},
		{"a negative drying", "$.work[1].after[0].dry", []string{"-1"},
			Project{Work: []Work{{ID: "a"}, {ID: "b", After: []After{{Work: "a", Dry: -1}}}}}},
		{"a negative need", "$.work[0].needs.R1", []string{"-1"},
			Project{Crews: []Crew{{ID: "R1", Size: 1}}, Work: []Work{{ID: "a", Needs: []Need{{"R1", -1}}}}}},
		{"a negative size", "$.crews[0].size", []string{"R1", "-1"}, Project{Crews: []Crew{{ID: "R1", Size: -1}}}},
		{"a negative number of schedules", "$.schedules", []string{"-1"}, Project{Schedules: -1}},
		{"a negative pin", "$.work[0].pinned", []string{"-2"}, Project{Work: []Work{{ID: "a", Pinned: &minus}}}},
		{"a negative promise", "$.work[0].due.day", []string{"-2"}, Project{Work: []Work{{ID: "a", Due: &Due{Day: -2}}}}},
		{"two of a name", "$.work[1].id", []string{"called a"}, Project{Work: []Work{{ID: "a"}, {ID: "a"}}}},
		{"two crews of a name", "$.crews[1].id", []string{"called a"}, Project{Crews: []Crew{{ID: "a"}, {ID: "a"}}}},
		{"no name", "$.work[0].id", []string{"no id"}, Project{Work: []Work{{}}}},
		{"days that go back", "$.calendar[1]", []string{"4"}, Project{Calendar: []int{5, 4}}},
		{"away backwards", "$.crews[0].away[0]", []string{"R1"},
			Project{Crews: []Crew{{ID: "R1", Size: 1, Away: []Away{{From: 3, To: 2}}}}}},
		{"more days than anybody plans", "$.work", []string{"300000 days"},
			Project{Work: []Work{{ID: "a", Days: 150_000}, {ID: "b", Days: 150_000}}}},
		{"more work than anybody plans", "$.work", []string{"10001 pieces"}, Project{Work: make([]Work, 10_001)}},
		{"schedules without end", "$.schedules", []string{"1000001"}, Project{Schedules: 1_000_001}},
	} {
		err := Check(&c.p)
		if fault.KindOf(err) != fault.BadInput {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		for _, want := range append(c.says, c.path+": ") {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %q is not in %q", c.name, want, err)
			}
		}
		if _, planned := Plan(t.Context(), &c.p); planned == nil || planned.Error() != err.Error() {
			t.Errorf("%s: Plan says %v", c.name, planned)
		}
	}
}
