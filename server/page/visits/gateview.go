package visits

import (
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Gate is one stage of a room: its obstacles and the way through.
func (p *Pages) Gate(c echo.Context) error {
	v, err := p.gateView(c)
	if err != nil {
		return err
	}
	return kit.Draw(c, http.StatusOK, web.GateSheet, v)
}

func (p *Pages) gateView(c echo.Context) (view web.GateView, err error) {
	of, err := kit.StageOf(c)
	if err != nil {
		return view, err
	}
	v, j, err := p.Read(c)
	if err != nil {
		return view, err
	}
	var signed []room.SignOff
	if j.Record.Gates[of].State == words.SignedOff {
		if signed, err = p.Desk.SignOffs(c.Request().Context(), v.By, j.Record.ID); err != nil {
			return view, err
		}
	}
	return gateView(v, j, of, signed)
}

// Gate is that page of a stage; signed are the sign-offs of a room in which it is
// signed off.
func Gate(of words.Stage, signed []room.SignOff) kit.Page {
	return func(v kit.Viewer, j *standing.Standing, _ string) (web.Filled, error) {
		view, err := gateView(v, j, of, signed)
		return web.GateSheet.Fill(&view), err
	}
}

func gateView(by kit.Viewer, j *standing.Standing, of words.Stage, signed []room.SignOff) (web.GateView, error) {
	s := look(by, j, words.Capital(of.String()))
	g := j.Record.Gates[of]
	v := web.GateView{Sheet: s.Sheet, Revision: j.Record.Revision,
		Withdrawn: g.Withdrawn, Photo: s.photosOfStage(of), Gate: kit.GateOf(j, of)}
	if g.State == words.Offered || g.State == words.SignedOff {
		v.OfferedBy, v.OfferedAt = s.People.WithTrade(g.OfferedBy), g.OfferedAt
	}
	lead := j.Gate.Lead(of)
	v.MayOffer = g.State == words.InHand && !s.Closed() && (s.By.Role != firm.Trade || slices.Contains(lead, s.By.Trade))
	v.MayReopen = g.State == words.SignedOff && s.Runs()
	if g.State == words.SignedOff {
		v.SignedBy = s.People.WithTrade(g.SignedBy)
		err := signedOn(&v, g, signed)
		return v, err
	}
	if g.State != words.Waiting {
		s.obstacles(&v, of)
	}
	v.MaySign = g.State == words.Offered && s.Runs() && len(v.Hard) == 0
	if !s.Closed() {
		v.Next = s.gateNext(v, of)
	}
	return v, nil
}

// obstacles fills in what stands in the way.
func (s *scene) obstacles(v *web.GateView, of words.Stage) {
	for _, o := range s.J.Obstacles(of) {
		row := web.ObstacleRow{Code: o.Code, About: string(o.About.Kind) + "/" + o.About.ID,
			Wrong: words.Capital(o.Wrong) + ".", Mend: o.Mend + ".", Words: o.Wrong}
		if s.Runs() || !foremansOwn(o.Code) {
			row.Act, row.Href = kit.Doing(s.At, gate.Task{Stage: of, Code: o.Code, About: o.About, Surface: o.Surface})
		}
		if o.Hard {
			v.Hard = append(v.Hard, row)
			continue
		}
		v.Soft = append(v.Soft, row)
	}
}

// foremansOwn reports whether only the foreman can mend what a rule asks for:
// others are not led to where they may do nothing.
func foremansOwn(code string) bool { return code == gate.CodeNoBuildUp || code == gate.CodeHeld }

// gateNext is the one thing to do at a gate.
func (s *scene) gateNext(v web.GateView, of words.Stage) web.Next {
	switch {
	case v.MaySign && len(v.Soft) > 0:
		return web.Next{Sentence: "Give a reason for what you accept, one for several of a kind if you like, then sign off."}
	case v.MaySign:
		return web.Next{Sentence: "Nothing stands in the way. Sign it off."}
	case len(v.Hard) > 0 && v.Hard[0].Href != "":
		return web.Next{Sentence: v.Hard[0].Wrong + " " + v.Hard[0].Mend, Action: v.Hard[0].Act, Href: v.Hard[0].Href}
	case v.MayOffer:
		return web.Next{Sentence: "Offer " + of.String() + " for sign-off when your part is done."}
	case v.Gate.State == web.Offered:
		return web.Next{Sentence: "The foreman looks at it and signs it off."}
	case v.Gate.State == web.Waiting:
		before, _ := of.Before()
		return web.Next{Sentence: words.Capital(of.String()) + " waits for " + before.String() + ".",
			Action: "Look at " + before.String(), Href: s.At.Gate(before.Slug())}
	}
	return v.Next
}

// signedOn fills in what a stage was signed off on.
func signedOn(v *web.GateView, g room.Gate, all []room.SignOff) error {
	for _, one := range all {
		if one.ID != g.SignOff {
			continue
		}
		v.Digest = one.SHA256.String()
		kept, err := deed.ReadAccepted(&one)
		if err != nil {
			return err
		}
		for _, a := range kept {
			v.Soft = append(v.Soft, web.ObstacleRow{Code: a.Code, About: a.Kind + "/" + a.ID,
				Wrong:    words.Capital(a.Wrong) + ".",
				Accepted: true, Reason: a.Reason, AcceptedBy: v.SignedBy, AcceptedAt: one.At})
		}
	}
	return nil
}

// SignOff signs a stage off with the soft obstacles that have a reason. Where
// one has none, or something hard has come up, the page says so again and keeps
// the reasons.
func (p *Pages) SignOff(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	of, err := kit.StageOf(c)
	if err != nil {
		return err
	}
	in, err := kit.RoomID(c)
	if err != nil {
		return err
	}
	seen, _ := strconv.ParseInt(f.Get("revision"), 10, 64) // 0 is refused by name
	_, err = p.Desk.Do(c.Request().Context(), kit.Who(c), in,
		deed.SignOff{Stage: of, Revision: seen, Accepted: acceptances(f)})
	if err == nil {
		return kit.SeeOther(c, kit.PlaceOf(c).Gate(of.Slug()), "sign-off")
	}
	var refused *fault.Error
	if !errors.As(err, &refused) || refused.Kind != fault.Obstacle && refused.Kind != fault.Conflict {
		return err
	}
	v, readErr := p.gateView(c)
	if readErr != nil {
		return readErr
	}
	v.Typed = web.Typed{Sent: f.Values, Faults: []fault.Field{{
		Wrong: "you accepted something without giving a reason, or left something out",
		Mend:  "Give one beside each, or tick it and give one below"}}}
	switch {
	case refused.Kind == fault.Conflict:
		v.Faults = []fault.Field{{Wrong: words.NoStop(refused.Msg)}}
		if strings.Contains(refused.Msg, v.Withdrawn) {
			v.Withdrawn = "" // it is said once
		}
	case len(v.Hard) > 0:
		return refuse(c, v, err)
	}
	for i := range v.Soft {
		if o := &v.Soft[i]; f.Get(o.WordsField()) != o.Words { // nobody accepts what they have not read
			if o.Before = f.Get(o.Field()); o.Before == "" && f.Get(o.TickField())+f.Get(o.AllField()) != "" {
				o.Before = f.Get(o.CommonField())
			}
			v.Sent.Del(o.Field())
			v.Sent.Del(o.TickField())
			v.Sent.Del(o.AllField()) // what says something else now is ticked anew
		}
	}
	status := http.StatusUnprocessableEntity
	if refused.Kind == fault.Conflict {
		status = http.StatusConflict
	}
	return kit.Draw(c, status, web.GateSheet, v)
}

// refuse says what keeps a stage open, and the way out of each.
func refuse(c echo.Context, v web.GateView, err error) error {
	var f *fault.Error
	if !errors.As(err, &f) {
		return err
	}
	r := web.RefusalView{Sheet: v.Sheet, Says: f.Msg, Obstacles: v.Hard, Back: v.At.Gate(v.Gate.Slug)}
	r.Title = "Not signed off"
	return kit.Draw(c, http.StatusUnprocessableEntity, web.Refusal, r)
}

// acceptances are the reasons that were written, each with what it accepts: one of its own,
// or where it is ticked that of its rule.
func acceptances(f *kit.Form) []gate.Acceptance {
	var out []gate.Acceptance
	for field := range f.Values {
		what, is := strings.CutPrefix(field, "words.")
		code, about, ok := strings.Cut(what, ".")
		reason := f.Get("reason." + what)
		if reason == "" && f.Get("tick."+what)+f.Get("all."+code) != "" {
			reason = f.Get("for." + code)
		}
		if kind, of, _ := strings.Cut(about, "/"); is && ok && reason != "" {
			out = append(out, gate.Acceptance{Code: code, About: gate.About{Kind: gate.Kind(kind), ID: of},
				Wrong: f.Get(field), Reason: reason})
		}
	}
	slices.SortFunc(out, func(a, b gate.Acceptance) int { return strings.Compare(a.Code+a.About.ID, b.Code+b.About.ID) })
	return out
}
