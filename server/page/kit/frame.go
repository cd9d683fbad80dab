package kit

import (
	"lathmark/domain/gate"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/web"
)

// LineOf is one room against the stages.
func LineOf(j *standing.Standing, all People) web.RoomLine {
	line := web.RoomLine{At: PlaceOfRoom(j), Name: j.Record.Name,
		Now: -1}
	for i, s := range words.Stages {
		line.Gates[i] = GateOf(j, s)
	}
	s, open := j.Record.InHand()
	if !open {
		return line
	}
	line.Now = int(s)
	t := j.Gate.WhoNext()
	line.Next = words.Capital(all.inTrade(t)) + ": " + j.Gate.Next(t).Sentence
	return line
}

// GateOf is one gate as its frame is drawn. Obstacles are counted for the
// stage in hand: before, they only say that it has not begun.
func GateOf(j *standing.Standing, s words.Stage) web.Gate {
	g := j.Record.Gates[s]
	out := web.Gate{Stage: s.String(), Slug: s.Slug(), State: web.State(g.State.String())}
	switch g.State {
	case words.SignedOff:
		out.Initials, out.Date = g.Initials, g.SignedAt
	case words.InHand, words.Offered:
		obstacles := j.Obstacles(s)
		out.Hard = gate.Hard(obstacles)
		out.Soft = len(obstacles) - out.Hard
	}
	return out
}
