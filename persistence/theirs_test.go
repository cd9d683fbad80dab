package persistence_test

import (
	"strings"
	"testing"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/programme"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
)

// theirPiece is the piece of work that is pinned.
func theirPiece(x *theirs) programme.Piece {
	return programme.Piece{Room: x.room, Stage: words.FirstFix, Trade: words.Electrician}
}

// fillProgramme says something of every kind for the programme.
func fillProgramme(t *testing.T, s *dbtest.Site, x *theirs, hall id.Room) {
	t.Helper()
	ctx, by, p, on := t.Context(), s.Foreman, s.Programme, time.Date(2026, 3, 20, 0, 0, 0, 0, time.UTC)
	check := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	check(p.SetWeek(ctx, by, [7]bool{1: true}, ""))
	crew, err := p.SaveCrew(ctx, by, programme.Crew{Trade: words.Electrician, Name: "Ines", People: 1,
		Member: s.Electrician.ID})
	check(err)
	away, err := p.SayAway(ctx, by, programme.Away{Crew: crew.ID, From: on, To: on})
	check(err)
	check(p.SetRate(ctx, by, programme.Rate{Trade: words.Electrician, Least: 1, Likely: 1, Most: 1}))
	check(p.Pin(ctx, by, programme.Pin{Piece: theirPiece(x), On: on}))
	promise, err := p.Give(ctx, by, programme.Promise{Job: x.job, Room: x.room, To: words.Client, On: on})
	check(err)
	owed, err := p.SaveOwed(ctx, by, programme.Owed{Room: x.room, What: "a fan", By: words.Client})
	check(err)
	check(p.SetThrough(ctx, by, x.room, []id.Room{hall}))
	check(p.WillCome(ctx, by, programme.Coming{Crew: crew.ID, Job: x.job, On: on}))
	token, err := p.CrewLink(ctx, by, crew.ID)
	check(err)
	x.electrician = s.Electrician.ID
	x.crew, x.away, x.promise, x.owed = crew.ID, away.ID, promise.ID, owed.ID
	_, x.visits, _ = firm.ReadToken(token)
}

// aPicture is a picture that is nowhere.
var aPicture = room.Picture{SHA256: room.Sum{1}, Type: "image/jpeg", Width: 2, Height: 2, Bytes: 9}

// fill returns another firm one record of every kind.
func fill(t *testing.T, s *dbtest.Site) *theirs {
	t.Helper()
	ctx := t.Context()
	r := s.Utility(t, "D1", "D2")
	x := &theirs{firm: s.Owner.Firm, job: r.Record.Job, room: r.Record.ID, member: s.Foreman.ID,
		timber: id.New[id.Timber](), way: id.New[id.Way](), opening: id.New[id.Opening](), photo: id.New[id.Photo](),
		snag: id.New[id.Snag]()}
	check := func(_ any, err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	check(s.Desk.Do(ctx, s.Foreman, x.room,
		deed.AddTimbers{Timbers: []room.Timber{{ID: x.timber, Surface: r.Record.Surfaces[0].ID, Name: "J1",
			A: [2]float64{0, 1200},
			B: [2]float64{3600, 1200}, Width: 47}}}))
	check(s.Desk.Do(ctx, s.Foreman, x.room, deed.AddWay{Way: room.Way{ID: x.way, Surface: r.Record.Surfaces[0].ID,
		Name: "to D1",
		Kind: room.HoleWay, A: [2]float64{900, 0}, B: [2]float64{900, 2000}, Size: 20}}))
	x.r = s.SignFirstFix(t, r)
	check(s.Desk.Do(ctx, s.Foreman, x.room, deed.SeeTails{Positions: []id.Position{r.Record.Positions[0].ID}}))
	check(s.Desk.Do(ctx, s.Foreman, x.room, deed.NoteSnag{Snag: room.Snag{ID: x.snag, Says: "scratch"}}))
	x.act = id.New[id.Act]()
	check(s.Desk.Take(ctx, s.Plumber, deed.Act{ID: x.act, Room: x.room, Made: s.Clock.Now(),
		Deed: deed.Measure{Reading: room.Reading{
			Kind: words.Offset, Of: r.Record.Positions[0].ID, From: dbtest.Datum(t, r, "south wall"), State: "bare",
			Value: 604}}}))
	err := s.DB.WithTx(ctx, s.Owner, func(tx *persistence.Tx) error {
		at := s.Clock.Now()
		p := room.Photo{ID: x.photo, Position: r.Record.Positions[0].ID, Stage: words.SecondFix, At: at, RecordedAt: at,
			Picture: aPicture}
		if err := tx.InsertPhoto(ctx, x.room, p); err != nil {
			return err
		}
		return tx.InsertOpening(ctx, x.room, room.Opening{ID: x.opening, Position: r.Record.Positions[0].ID,
			Outcome: words.NotFound, At: at, RecordedAt: at})
	})
	check(nil, err)
	check(s.Desk.Do(ctx, s.Foreman, x.room, deed.Reopen{Stage: words.FirstFix,
		Reason: "so that the calls could go through"}))
	_, token, err := s.Firm.StartSession(ctx, s.Owner.Firm, x.member)
	check(nil, err)
	_, x.session, _ = firm.ReadToken(token)
	token, err = s.Firm.OneTimeLink(ctx, s.Owner, x.member)
	check(nil, err)
	_, x.link, _ = firm.ReadToken(token)
	all, err := s.Firm.Sessions(ctx, s.Foreman)
	check(nil, err)
	x.sessionID = all[0].ID
	k, secret, err := s.Firm.MakeKey(ctx, s.Foreman, "the spreadsheet", firm.KeyReads, 24*time.Hour)
	check(nil, err)
	x.key = k.ID
	_, x.keyHash, _ = firm.ReadToken(strings.TrimPrefix(secret, "lathmark_"))
	check(nil, s.Firm.NewChallenge(ctx, []byte("challenge")))
	pk, err := s.Firm.AddPasskey(ctx, s.Foreman, x.sessionID, []byte("challenge"), "my phone",
		func() (firm.Passkey, error) {
			return firm.Passkey{Credential: []byte{1}, PublicKey: []byte{1}}, nil
		})
	check(nil, err)
	x.passkey = pk.ID
	i, token, err := s.Firm.Invite(ctx, s.Foreman, firm.Invitation{Role: firm.Trade, Trade: words.Tiler,
		Jobs: []id.Job{x.job}})
	check(nil, err)
	x.asked = i.ID
	_, x.code, _ = firm.ReadToken(token)
	token, err = s.Job.ClientLink(ctx, s.Owner, x.job)
	check(nil, err)
	_, x.client, _ = firm.ReadToken(token)
	x.proof = firm.Proof{Identity: firm.Identity{Issuer: "https://login.example", Subject: "bram"},
		Email: "bram@fell.example", Session: "s1", IssuedAt: s.Clock.Now()}
	check(nil, s.Firm.SetEmail(ctx, s.Owner, x.member, x.proof.Email))
	known(t, s, x.member, x.proof)
	hall, err := s.Desk.Create(ctx, s.Foreman, room.Draft{Job: x.job, Name: "Hall", Height: 2400,
		Outline: r.Record.Outline})
	check(nil, err)
	fillProgramme(t, s, x, hall.Record.ID)
	return x
}
