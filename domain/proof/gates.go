package proof

import (
	"fmt"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// gateTold is a gate as the entries say.
type gateTold struct {
	state   words.State
	offered line
	signed  int64 // the entry of its sign-off
}

const firstState = words.InHand

// stageOf returns the stage that an entry is about.
func (t *telling) stageOf() (words.Stage, error) { return words.ParseStage(t.Stage) }

// move is one step of a gate, and what follows for the later ones.
func (t *telling) move(s words.Stage, from, to words.State) error {
	if t.gates[s].state != from {
		return fmt.Errorf("%s was %s then", s, t.gates[s].state)
	}
	t.gates[s].state = to
	for _, later := range s.After() {
		if t.gates[later-1].state != words.SignedOff {
			t.gates[later] = gateTold{}
		} else if t.gates[later].state == words.Waiting {
			t.gates[later] = gateTold{state: words.InHand}
		}
	}
	return nil
}

func offer(t *telling) error {
	s, err := t.stageOf()
	if err = first(err, t.move(s, words.InHand, words.Offered)); err == nil {
		t.gates[s].offered = t.line()
	}
	return err
}

// withdraw takes an offer back.
func withdraw(t *telling) error {
	s, err := t.stageOf()
	if err = first(err, t.move(s, words.Offered, words.InHand)); err == nil {
		t.gates[s] = gateTold{state: words.InHand}
	}
	return err
}

// reopen opens a stage again. Those that follow it have entries of their own, and wait
// by then.
func reopen(t *telling) error {
	s, err := t.stageOf()
	if err != nil || t.gates[s].state == words.Waiting {
		return err
	}
	err = t.move(s, words.SignedOff, words.InHand)
	if err == nil {
		t.gates[s] = gateTold{state: words.InHand}
	}
	return err
}

// signedTold is a sign-off as its entry says.
type signedTold struct {
	line
	stage words.Stage
	is    signedDetail
}

type signedDetail struct {
	diary.Signed
	SignOff  id.SignOff      `json:"sign_off"`
	Accepted []deed.Accepted `json:"accepted"`
}

func signOff(t *telling) error {
	s, err := t.stageOf()
	if err != nil {
		return err
	}
	d, err := deed.Unpack[signedDetail](t.Detail)
	t.signed = append(t.signed, signedTold{t.line(), s, d})
	if err = first(err, t.move(s, words.Offered, words.SignedOff)); err == nil {
		t.gates[s].signed = t.Seq
	}
	return err
}
