package roomsheet

import (
	"bytes"
	"os"
	"slices"
	"testing"
)

// site reads one of the rooms of the invented site.
func site(t *testing.T, name string) *Room {
	t.Helper()
	data, err := os.ReadFile("../../testdata/rooms/" + name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	room := mustRead(t, string(data))
	var b bytes.Buffer
	if err := room.Write(&b); err != nil || b.String() != string(data) {
		t.Errorf("%s is not as Write would leave it: %v", name, err)
	}
	return room
}

// odd returns what an answer has to warn of: positions that are not determinate,
// or not checked, and measurements that are unrecorded or suspect.
func odd(s SurfaceAnswer) (adrift, unchecked, unrecorded []string, suspect map[string]string) {
	suspect = map[string]string{}
	for _, p := range s.Positions {
		if !p.Determinate {
			adrift = append(adrift, p.ID)
		} else if !p.Checked {
			unchecked = append(unchecked, p.ID)
		}
	}
	for _, m := range s.Measurements {
		if m.Unrecorded {
			unrecorded = append(unrecorded, m.ID)
		} else if m.Fitted != nil && m.Suspect {
			suspect[m.ID] = m.ReadsAs
		}
	}
	return adrift, unchecked, unrecorded, suspect
}

// Every slip planted in the rooms comes to light, and rooms without one are
// clean. The list is that of testdata/rooms/README.md.
func TestPlantedSlipsComeToLight(t *testing.T) {
	adrift, unchecked, unrecorded, suspect := odd(SetOut(site(t, "kitchen")).Surfaces[0])
	if len(adrift) > 0 || !slices.Equal(unchecked, []string{"D12"}) || !slices.Equal(unrecorded, []string{"m28"}) {
		t.Errorf("kitchen: adrift %v, unchecked %v, unrecorded %v", adrift, unchecked, unrecorded)
	}
	if state, ok := suspect["m21"]; !ok || state != "" {
		t.Errorf("the misread m21: suspect %v, reads as %q", ok, state)
	}
	if suspect["m36"] != Bare {
		t.Errorf("m36 reads as %q, want bare", suspect["m36"])
	}

	landing := SetOut(site(t, "landing")).Surfaces[0]
	adrift, unchecked, _, suspect = odd(landing)
	if !slices.Equal(adrift, []string{"SD", "HD"}) || len(unchecked)+len(suspect) > 0 {
		t.Errorf("landing: adrift %v, unchecked %v, suspect %v", adrift, unchecked, suspect)
	}
	if n := len(landing.Positions[3].Ambiguous); n != 2 {
		t.Errorf("SD fits %d places, want 2", n)
	}

	for _, name := range []string{"wet-room", "sloping-ceiling", "socket-wall"} {
		for _, s := range SetOut(site(t, name)).Surfaces {
			adrift, unchecked, unrecorded, suspect := odd(s)
			if len(adrift)+len(unchecked)+len(unrecorded)+len(suspect) > 0 || s.Fit.P < 0.01 {
				t.Errorf("%s, %s: adrift %v, unchecked %v, unrecorded %v, suspect %v, fit %+v", name, s.ID, adrift, unchecked,
					unrecorded, suspect, s.Fit)
			}
		}
	}
}

// Without its two slips the kitchen fits.
func TestKitchenFitsOnceMended(t *testing.T) {
	room := site(t, "kitchen")
	for i := range room.Surfaces[0].Measurements {
		switch m := &room.Surfaces[0].Measurements[i]; m.ID {
		case "m21":
			m.Value -= 50
		case "m36":
			m.State = Bare
		}
	}
	s := SetOut(room).Surfaces[0]
	if _, _, _, suspect := odd(s); len(suspect) > 0 || s.Fit.P < 0.01 {
		t.Errorf("suspect %v, fit %+v", suspect, s.Fit)
	}
}
