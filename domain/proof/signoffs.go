package proof

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"slices"

	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// compareGates says which gates are not as the entries say.
func (t *told) compareGates() {
	for _, s := range words.Stages {
		was, is := &t.gates[s], &t.record.Gates[s]
		if is.Stage != s {
			t.check.found(0, "the gate of %s is gone", s)
			continue
		}
		if was.state != is.State {
			t.check.found(0, "%s is %s, and by the diary it is %s", s, is.State, was.state)
			continue
		}
		if was.state != words.Offered && was.state != words.SignedOff {
			if !is.OfferedBy.IsZero() || !is.OfferedAt.IsZero() || !is.SignOff.IsZero() {
				t.check.found(0, "%s has who offered it, or a sign-off, and by the diary it is %s", s, was.state)
			}
			continue
		}
		if is.OfferedBy != was.offered.member {
			t.check.found(was.offered.seq, "%s was offered by %s (entry %d), and is by %s", s, was.offered.who,
				was.offered.seq, t.check.say(nil, is.OfferedBy.String()))
		}
		if !was.offered.could(is.OfferedAt) {
			t.check.found(was.offered.seq, "%s was offered at %s (entry %d), and is at %s", s, when(was.offered.at),
				was.offered.seq, sayTime(is.OfferedAt))
		}
	}
}

// signOffs compares the sign-offs of the room with their entries.
func (t *told) signOffs(all []room.SignOff, strays []id.SignOff) {
	left := slices.Clone(all)
	for _, was := range t.signed {
		i := slices.IndexFunc(left, func(s room.SignOff) bool { return s.DiarySeq == was.seq })
		if i < 0 {
			t.check.found(was.seq, "the sign-off of %s that entry %d wrote is gone", was.stage, was.seq)
			continue
		}
		is := left[i]
		left = slices.Delete(left, i, i+1)
		t.signOff(&was, &is, slices.Contains(strays, is.ID))
	}
	for _, s := range left {
		t.check.found(0, "the sign-off of %s by %s is there, and no entry wrote it", s.Stage,
			t.check.say(nil, s.By.String()))
	}
	for _, s := range words.Stages {
		g := &t.record.Gates[s]
		if g.State != words.SignedOff || t.gates[s].state != words.SignedOff {
			continue
		}
		i := slices.IndexFunc(all, func(x room.SignOff) bool { return x.ID == g.SignOff })
		if i < 0 || all[i].DiarySeq != t.gates[s].signed {
			t.check.found(t.gates[s].signed, "%s does not stand by the sign-off that entry %d wrote", s, t.gates[s].signed)
		}
	}
}

func (t *told) signOff(was *signedTold, is *room.SignOff, strayed bool) {
	say := func(what, before, now string) {
		t.check.found(was.seq, "the sign-off of %s: %s was %s (entry %d), and is %s", was.stage, what, before, was.seq, now)
	}
	if was.stage != is.Stage {
		say("the stage", was.stage.String(), is.Stage.String())
	}
	if was.member != is.By {
		say("the signer", was.who, t.check.say(nil, is.By.String()))
	}
	if was.at.UnixMicro() != is.At.UnixMicro() {
		say("the time", when(was.at), when(is.At))
	}
	if strayed {
		t.check.found(was.seq, "the sign-off of %s that entry %d wrote names another job or room", was.stage, was.seq)
	}
	if !was.is.SignOff.IsZero() && was.is.SignOff != is.ID {
		say("the id", was.is.SignOff.String(), is.ID.String())
	}
	kept, err := deed.ReadAccepted(is)
	a, _ := json.Marshal(was.is.Accepted)
	b, _ := json.Marshal(kept)
	if err != nil || len(kept)+len(was.is.Accepted) > 0 && !bytes.Equal(a, b) {
		say("what was accepted", string(a), string(is.Accepted))
	}
	if is.Sum().String() != was.is.SHA256 {
		t.check.found(was.seq, "the sign-off of %s that entry %d wrote does not hold what was signed: its words, its room "+
			"sheet or its set-out are others", was.stage, was.seq)
	}
	if was.is.Evidence != "" && room.Sum(sha256.Sum256(is.Evidence)).String() != was.is.Evidence ||
		was.is.Evidence == "" && len(is.Evidence) > 0 {
		t.check.found(was.seq, "the sign-off of %s that entry %d wrote does not hold the evidence that was signed",
			was.stage, was.seq)
	}
	if is.SHA256.String() != was.is.SHA256 {
		say("the SHA-256", was.is.SHA256, is.SHA256.String())
	}
}
