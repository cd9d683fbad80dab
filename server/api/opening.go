package api

import (
	"time"

	"lathmark/domain/advice"
	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// openings are the addresses of holes and of their making good.
func (a *api) openings() {
	const at = "/rooms/{room}/openings/{opening}"
	route(a, "GET /rooms/{room}/holes", "holes", "The holes that are still to be cut, the one to open first first",
		reads(a, func(_ *OfRoom, j *standing.Standing) (*answer[list[ToOpen]], error) {
			return listed(viewToOpen)(j.Holes, nil)
		}))
	route(a, "POST /rooms/{room}/openings", "openHole", "Records a hole with its outcome", does(a, standsNow,
		func(in *RoomBody[Hole]) (deed.Deed, error) {
			h := in.Body.Hole
			if h.Doubt == "" {
				h.Doubt = deed.AskDoubt
			}
			h.Ask = true
			h.Tail = each(in.Body.Tail, func(t TailAt) deed.TailAt { return t.TailAt })
			return deed.OpenHole{Hole: h}, made("id", h.ID)
		}))
	route(a, "PUT "+at+"/outcome", "correctOutcome", "Corrects what is recorded of a hole", does(a, standsNow,
		func(in *struct {
			OfOpening
			Body struct {
				Outcome words.Outcome `json:"outcome" enum:"found,hooked_out,not_found,on_timber"`
				Says    string        `json:"says,omitempty" maxLength:"400"`
			}
		}) (deed.Deed, error) {
			return deed.CorrectOutcome{Opening: in.Opening, Outcome: in.Body.Outcome, Says: in.Body.Says}, nil
		}))
	route(a, "PUT "+at+"/patch", "owePatch", "Records that a hole needs a patch", does(a, standsNow,
		func(in *OfOpening) (deed.Deed, error) { return deed.OwePatch{Opening: in.Opening}, nil }))
	route(a, "PUT "+at+"/patch/filled", "fillPatch", "Says when a patch was filled", does(a, standsNow,
		func(in *OpeningBody[When]) (deed.Deed, error) {
			return deed.FillPatch{Opening: in.Opening, At: in.Body.At, DryUnknown: true}, nil
		}))
	route(a, "DELETE "+at+"/patch/filled", "unfillPatch", "Undoes that a patch was filled", does(a, standsNow,
		func(in *OfOpening) (deed.Deed, error) { return deed.UnfillPatch{Opening: in.Opening}, nil }))
	route(a, "PUT "+at+"/patch/dry", "dryPatch", "Says from when a patch is dry", does(a, standsNow,
		func(in *OpeningBody[When]) (deed.Deed, error) {
			return deed.DryPatch{Opening: in.Opening, At: in.Body.At}, nil
		}))
}

// ToOpen is one hole that is still to be cut. The set-out says where.
type ToOpen struct {
	Position id.Position `json:"position" format:"uuid"`
	Name     string      `json:"name"`
	Surface  id.Surface  `json:"surface" format:"uuid"`
	First    bool        `json:"first" doc:"Cut it before its trade's others, to prove the set-out."`
	Cutout   float64     `json:"cutout,omitzero"`
	From     []string    `json:"from" doc:"The two datums to mark from."`
	Offsets  []float64   `json:"offsets" doc:"What to mark from each, moved off the timbers."`
	Find     float64     `json:"find" doc:"The chance that the tail is within reach."`
	Hit      float64     `json:"hit" doc:"The worst chance of cutting a timber, after the move."`
	Clears   bool        `json:"clears" doc:"The hole keeps clear of every timber."`
	// What follows is what people read, too.
	Marks     []advice.Mark `json:"marks" doc:"From and offsets, as people say them."`
	PlusMinus float64       `json:"plus_minus" doc:"How far from there the tail may be, mm, 19 times in 20."`
	Slip      float64       `json:"slip,omitzero" doc:"The smallest misread, mm, that would have shown; left out: none would."`
	MayCut    bool          `json:"may_cut"`
	WhyNot    string        `json:"why_not,omitempty"`
	Doubt     string        `json:"doubt,omitempty" doc:"Which readings of it do not fit."`
	Says      []advice.Line `json:"says" doc:"What is said of the hole, the worst first."`
	Cautions  []Caution     `json:"cautions"`
}

func viewToOpen(h standing.ToOpen) ToOpen {
	p, plan, datums, from := h.Position, &h.Answer.Plan, h.Solved.Surface.Datums, h.Answer.Mark.From
	return ToOpen{p.ID, p.Name, h.Surface.ID, h.First, p.Cutout, []string{datums[from[0]].ID, datums[from[1]].ID},
		plan.Offsets[:], plan.Find, plan.Hit, plan.Clears, h.Marks, h.PlusMinus, h.Slip, h.MayCut, h.Why, h.Doubt, h.Lines,
		each(h.Cautions, viewCaution)}
}

// Hole is a hole as somebody writes it down.
type Hole struct {
	deed.Hole
	Tail []TailAt `json:"tail,omitempty" maxItems:"4" doc:"Where the tail really was."`
}

// TailAt is one offset of a found tail, from a face as it is now.
type TailAt struct {
	deed.TailAt
	State absent `json:"state,omitzero"`
}

// Opening is a hole that was cut, with what it showed.
type Opening struct {
	room.Opening
	Says  string    `json:"says"`
	By    id.Member `json:"by" format:"uuid"`
	Patch *Patch    `json:"patch,omitempty" doc:"Where one is needed."`
}

// Patch is the making good of a hole.
type Patch struct {
	Opening  id.Opening `json:"-"`
	OwedAt   time.Time  `json:"owed_at"`
	FilledAt time.Time  `json:"filled_at,omitzero"`
	DryAt    time.Time  `json:"dry_at,omitzero"`
}
