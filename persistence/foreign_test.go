package persistence_test

import (
	"cmp"
	"context"
	"errors"
	"reflect"
	"testing"
	"time"

	"github.com/jackc/pgx/v5/pgconn"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/programme"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
)

// theirs are the ids of another firm's records, of every kind.
type theirs struct {
	r       *standing.Standing
	firm    id.Firm
	job     id.Job
	room    id.Room
	member  id.Member
	opening id.Opening
	snag    id.Snag
	timber  id.Timber
	way     id.Way
	act     id.Act
	photo   id.Photo
	link    firm.Hash
	session firm.Hash
	proof   firm.Proof
	client  firm.Hash
	passkey id.Passkey
	code    firm.Hash
	asked   id.Invitation // of code
	keyHash firm.Hash
	key     id.Key
	// sessionID is the id of session.
	sessionID id.Session
	crew      id.Crew
	away      id.Away
	promise   id.Promise
	owed      id.Owed
	visits    firm.Hash
	// electrician is the crew's member.
	electrician id.Member
}

// calls has one call of every method of Tx, from another firm, with their ids.
// A call returns what it found: it must be an error, or nothing. A new method
// fails the test until it is listed.
func calls(x *theirs) map[string]func(context.Context, *persistence.Tx) (any, error) {
	now := time.Date(2026, 3, 9, 0, 0, 0, 0, time.UTC)
	r := x.r.Record
	none := func(err error) (any, error) { return nil, err }
	return map[string]func(context.Context, *persistence.Tx) (any, error){
		"InsertFirm": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.InsertFirm(ctx, firm.Firm{ID: id.New[id.Firm](), Name: "x", CreatedAt: now}))
		},
		"Firm":         nil, // takes no id: the firm is the transaction's
		"Members":      nil,
		"BuildUps":     nil,
		"Jobs":         nil,
		"AllRooms":     nil,
		"DiaryJobs":    nil,
		"LastSeqs":     nil,
		"InsertJob":    nil, // a new record of the transaction's own firm
		"InsertMember": nil,
		"SaveBuildUp":  nil,
		"Member":       func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.Member(ctx, x.member) },
		"InsertInvitation": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.InsertInvitation(ctx, firm.Hash{1}, firm.Invitation{ID: id.New[id.Invitation](), By: x.member,
				Role: firm.Trade, Trade: words.Plumber,
				Jobs: []id.Job{x.job}, CreatedAt: now, EndsAt: now.Add(time.Minute)}))
		},
		"Invitation": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			i, err := tx.Invitation(ctx, x.code, now.AddDate(-1, 0, 0))
			return i.Jobs, err
		},
		"UseInvitation": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			i, err := tx.UseInvitation(ctx, x.code, now.AddDate(-1, 0, 0))
			return i.Jobs, err
		},
		"InsertChallenge": nil, // of no firm: the table holds no other
		"UseChallenge":    nil,
		"InsertPasskey": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.InsertPasskey(ctx, firm.Passkey{ID: id.New[id.Passkey](), Member: x.member, Name: "x",
				Credential: []byte{1}, PublicKey: []byte{1}, CreatedAt: now}))
		},
		"Passkeys": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.Passkeys(ctx, x.member) },
		"UsePasskey": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.UsePasskey(ctx, x.passkey, 0, 1, now))
		},
		"DeletePasskey": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.DeletePasskey(ctx, x.member, x.passkey))
		},
		"Invitations": nil, // takes no id
		"DeleteInvitation": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.DeleteInvitation(ctx, x.asked))
		},
		"MemberJobs": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.MemberJobs(ctx, x.member) },
		"SaveTeam": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.SaveTeam(ctx, x.member, firm.Team{Jobs: []id.Job{x.job}}, now))
		},
		"LockOwners": nil,
		"Teams":      nil,
		"LockMember": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.LockMember(ctx, x.member) },
		"SaveMember": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.SaveMember(ctx, firm.Person{ID: x.member, Name: "x", Role: firm.Foreman}))
		},
		"NameOnJob": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.NameOnJob(ctx, x.member, x.job, now))
		},
		"TakeOffJob": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.TakeOffJob(ctx, x.member, x.job))
		},
		"EndMember": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.EndMember(ctx, x.member, now))
		},
		"InsertOneTimeLink": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.InsertOneTimeLink(ctx, firm.Hash{1}, x.member, now, now))
		},
		"WaitingLinks": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.WaitingLinks(ctx, x.member, now)
		},
		"OneTimeLink": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.OneTimeLink(ctx, x.link, now.AddDate(-1, 0, 0))
		},
		"UseOneTimeLink": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.UseOneTimeLink(ctx, x.link, now.AddDate(-1, 0, 0))
		},
		"InsertSession": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.InsertSession(ctx, firm.Hash{1}, firm.Session{ID: id.New[id.Session](),
				Person: firm.Person{ID: x.member}, CreatedAt: now, SeenAt: now, EndsAt: now}))
		},
		"Session": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.Session(ctx, x.session, now.AddDate(-1, 0, 0))
		},
		"SeeSession": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.SeeSession(ctx, x.session, "x", now))
		},
		"Sessions": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.Sessions(ctx, x.member, now.AddDate(-1, 0, 0))
		},
		"EndSession": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.EndSession(ctx, x.member, x.sessionID))
		},
		"EndSessions": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.EndSessions(ctx, x.member, id.Session{}))
		},
		// Of no firm, and across firms: see identity_test.go.
		"InsertAttempt": nil,
		"EndAttempt":    nil,
		"Known":         nil,
		"TiedFirms":     nil,
		"IdentityMember": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.IdentityMember(ctx, x.proof.Identity)
		},
		"EmailMember": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.EmailMember(ctx, x.proof.Email, "https://other.example")
		},
		"SaveEmail": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.SaveEmail(ctx, x.member, "new@fell.example"))
		},
		"LinkIdentity": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.LinkIdentity(ctx, x.member, firm.Identity{Issuer: x.proof.Issuer, Subject: "another"}, now))
		},
		"Identities": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.Identities(ctx, x.member) },
		"UnlinkIdentities": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.UnlinkIdentities(ctx, x.member))
		},
		"Arrive": func(ctx context.Context, tx *persistence.Tx) (any, error) { return none(tx.Arrive(ctx, x.member)) },
		"ProveSession": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.ProveSession(ctx, x.member, x.sessionID))
		},
		"TieSession": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.TieSession(ctx, x.session, x.proof))
		},
		"EndTied": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.EndTied(ctx, firm.Logout{Identity: x.proof.Identity, At: now}))
		},
		"EndAccess": func(ctx context.Context, tx *persistence.Tx) (any,
			error) {
			return none(tx.EndAccess(ctx, x.member))
		},
		"SaveLimits":      nil, // takes no id: the firm is the transaction's
		"SaveZone":        nil,
		"SaveNeedPasskey": nil,
		"InsertKey": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.InsertKey(ctx, firm.Hash{1}, firm.Key{ID: id.New[id.Key](), Member: x.member, Name: "x",
				Scope: firm.KeyReads, CreatedAt: now, EndsAt: now.AddDate(0, 0, 1)}))
		},
		"Key": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			k, _, err := tx.Key(ctx, x.keyHash, now.AddDate(-1, 0, 0))
			return k, err
		},
		"UseKey": func(ctx context.Context, tx *persistence.Tx) (any, error) { return none(tx.UseKey(ctx, x.key, now)) },
		"Keys":   func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.Keys(ctx, x.member) },
		"EndKey": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.EndKey(ctx, x.member, x.key))
		},
		"DeleteSession": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.DeleteSession(ctx, x.session))
		},
		"Job":     func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.Job(ctx, x.job) },
		"JobName": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.JobName(ctx, x.job) },
		"LockJob": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.LockJob(ctx, x.job) },
		"LockRooms": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.LockRooms(ctx, x.job))
		},
		"UpdateJob": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.UpdateJob(ctx, job.Job{ID: x.job, Name: "x", ClosedAt: now}, 0))
		},
		"LeftOpen": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.LeftOpen(ctx, x.job) },
		"JobHolds": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.JobHolds(ctx, x.job) },
		"RemoveJob": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.RemoveJob(ctx, x.job))
		},
		"RemoveRoom": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.RemoveRoom(ctx, x.room))
		},
		"ActsIn": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.ActsIn(ctx, x.room) },
		"Find": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.Find(ctx, []string{"orchard"}, 9)
		},
		"InsertClientLink": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.InsertClientLink(ctx, firm.Hash{1}, x.job, job.Link{MadeAt: now, EndsAt: now}))
		},
		"EndClientLinks": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.EndClientLinks(ctx, x.job,
				now)
		},
		"ClientLinkJob": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.ClientLinkJob(ctx, x.client, now.AddDate(-1, 0, 0))
		},
		"ClientLink": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.ClientLink(ctx, x.job, now.AddDate(-1, 0, 0))
		},
		"RenewClientLink": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.RenewClientLink(ctx, x.job, now.AddDate(-1, 0, 0), now))
		},
		"LastEntry": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.LastEntry(ctx, x.job) },
		"InsertEntry": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.InsertEntry(ctx, diary.Seal(diary.Entry{Firm: x.firm, Job: x.job, Detail: []byte("{}"), At: now},
				diary.Entry{})))
		},
		"Diary": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.Diary(ctx, x.job, 0, 9) },
		"DiaryPage": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.DiaryPage(ctx, x.job, diary.Filter{}, 9)
		},
		"DiaryBefore": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.DiaryBefore(ctx, x.job, 99, 9)
		},
		"EntriesOf": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.EntriesOf(ctx, x.member) },
		"ActsOf":    func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.ActsOf(ctx, x.member) },
		"PhotosOf":  func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.PhotosOf(ctx, x.member) },
		"LeaveNameOut": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.LeaveNameOut(ctx, diary.Entry{Job: x.job, Seq: 1, Who: "x"}))
		},
		"LockRoom": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			head, _, err := tx.LockRoom(ctx, x.room)
			return head, err
		},
		"Record": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.Record(ctx, x.room) },
		"Records": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.Records(ctx, []id.Room{x.room})
		},
		"Heads": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			one, err1 := tx.Heads(ctx, room.Scope{Room: x.room})
			all, err2 := tx.Heads(ctx, room.Scope{Job: x.job})
			return append(one, all...), errors.Join(err1, err2)
		},
		"RevisionSoon": func(ctx context.Context, tx *persistence.Tx) (n any, err error) {
			var revision int64
			tx.RevisionSoon(x.room, &revision)
			_, err = tx.Jobs(ctx)
			return revision, err
		},
		"Revision": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.Revision(ctx, x.room) },
		"RoomsOf":  func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.RoomsOf(ctx, x.job) },
		"InsertRoom": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			mine := r.Room
			mine.ID = id.New[id.Room]()
			return none(tx.InsertRoom(ctx, mine))
		},
		"UpdateRoom": func(ctx context.Context, tx *persistence.Tx) (any,
			error) {
			return none(tx.UpdateRoom(ctx, r.Room, 0))
		},
		"InsertSurface": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			s := r.Surfaces[0]
			s.ID, s.Name = id.New[id.Surface](), "other"
			return none(tx.InsertSurface(ctx, x.room, s))
		},
		"InsertDatum": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			d := r.Datums[0]
			d.ID, d.Name = id.New[id.Datum](), "other"
			return none(tx.InsertDatum(ctx, x.room, d))
		},
		"UpdateStaysBare": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.UpdateStaysBare(ctx, r.Datums[0].ID, true))
		},
		"DeleteDatum": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.DeleteDatum(ctx, r.Datums[0].ID))
		},
		"ReplaceLayers": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			l := r.Layers[0]
			l.ID = id.New[id.Layer]()
			return none(tx.ReplaceLayers(ctx, x.room, l.Surface, l.Datum, []room.Layer{l}))
		},
		"InsertTimber": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.InsertTimber(ctx, x.room, room.Timber{ID: id.New[id.Timber](), Surface: r.Surfaces[0].ID, Name: "J9",
				B: [2]float64{9, 9}, Width: 47}))
		},
		"DeleteTimber": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.DeleteTimber(ctx, x.timber))
		},
		"InsertWay": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.InsertWay(ctx, x.room, room.Way{ID: id.New[id.Way](), Surface: r.Surfaces[0].ID, Name: "to D9",
				Kind: room.HoleWay, B: [2]float64{9, 9}, Size: 20}))
		},
		"DeleteWay": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.DeleteWay(ctx, x.way))
		},
		"InsertPosition": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			p := r.Positions[0]
			p.ID, p.Name = id.New[id.Position](), "other"
			return none(tx.InsertPosition(ctx, x.room, p))
		},
		"UpdatePosition": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.UpdatePosition(ctx, r.Positions[0], 0))
		},
		"InsertMeasurement": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			m := r.Measurements[0]
			m.ID, m.Name = id.New[id.Measurement](), "other"
			return none(tx.InsertMeasurement(ctx, x.room, m))
		},
		"UpdateMeasurement": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.UpdateMeasurement(ctx, r.Measurements[0], 0))
		},
		"InsertTailSeen": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.InsertTailSeen(ctx, x.room, room.TailSeen{Position: r.Positions[1].ID, At: now}))
		},
		"DeleteTailSeen": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.DeleteTailSeen(ctx, r.Positions[0].ID))
		},
		"InsertPhoto": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.InsertPhoto(ctx, x.room, room.Photo{ID: id.New[id.Photo](), Surface: r.Surfaces[0].ID, At: now,
				RecordedAt: now, Picture: aPicture}))
		},
		"StrikePhoto": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.StrikePhoto(ctx, room.Photo{ID: x.photo, StruckAt: now, StruckWhy: "blurred"}))
		},
		"PictureOf": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.PictureOf(ctx, x.photo) },
		"Pictures":  func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.Pictures(ctx) },
		"LockPictures": func(ctx context.Context, tx *persistence.Tx) (any, error) { // a lock on the firm that asks
			return none(tx.LockPictures(ctx, true))
		},
		"SaveAsBuilt": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.SaveAsBuilt(ctx, x.room, room.AsBuilt{Layer: r.Layers[0].ID, Stage: r.Layers[0].Stage, PutOn: now,
				At: now}))
		},
		"SaveFinished": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.SaveFinished(ctx, x.room, room.Finished{Stage: words.Plaster, On: now, At: now}))
		},
		"InsertOpening": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.InsertOpening(ctx, x.room, room.Opening{ID: id.New[id.Opening](), Position: r.Positions[0].ID,
				Outcome: words.Found, At: now, RecordedAt: now}))
		},
		"UpdateOpening": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.UpdateOpening(ctx, room.Opening{ID: x.opening, Outcome: words.Found}))
		},
		"SavePatch": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.SavePatch(ctx, x.room, room.Patch{Opening: x.opening, OwedAt: now}))
		},
		"InsertSnag": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.InsertSnag(ctx, x.room, room.Snag{ID: id.New[id.Snag](), Says: "x", NotedAt: now}))
		},
		"SaveSnag": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.SaveSnag(ctx, x.room, room.Snag{ID: x.snag, ClosedAt: now}))
		},
		"UpdateGate": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.UpdateGate(ctx, x.room, room.Gate{Stage: words.FirstFix, State: words.Offered, OfferedAt: now}))
		},
		"InsertSignOff": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.InsertSignOff(ctx, x.room, x.job, room.SignOff{ID: id.New[id.SignOff](), By: x.member, At: now,
				Accepted: []byte("[]"), RoomSheet: []byte("{}"), SetOut: []byte("{}")})
		},
		"Act":  func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.Act(ctx, x.act) },
		"Acts": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.Acts(ctx, []id.Act{x.act}) },
		"OpenActs": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.OpenActs(ctx, id.Member{}, x.room)
		},
		"SaveAct": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.SaveAct(ctx, deed.StoredAct{ID: id.New[id.Act](), Room: x.room, Member: x.member, Kind: deed.KindSnag,
				Made: now, Done: now, Came: now,
				Deed: []byte("{}"), Answer: deed.Answer{Word: deed.Kept}}))
		},
		"ChooseAct": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.ChooseAct(ctx, x.act, deed.Mine, x.member, now))
		},
		"RoomPage": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.RoomPage(ctx, x.job, x.room, 0, 9)
		},
		"RoomActs":  func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.RoomActs(ctx, x.room) },
		"Strays":    func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.Strays(ctx, x.room) },
		"RoomDiary": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.RoomDiary(ctx, x.room, 0) },
		"SignOffs":  func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.SignOffs(ctx, x.room) },
		// Of the programme: none of these takes an id.
		"Given":        nil,
		"SaveWeek":     nil,
		"SaveRate":     nil,
		"Holidays":     nil,
		"SaveHolidays": nil,
		"DeleteRate":   nil,
		"Stored":       nil,
		"Keep":         nil,
		"Mark":         nil,
		"Take":         nil,
		"VisitLinks":   nil,
		"Worked": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.Worked(ctx, []id.Room{x.room}, []string{"measure", "offer"})
		},
		"CrewsOf": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.CrewsOf(ctx, x.electrician) },
		"AbsencesOf": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.AbsencesOf(ctx, x.electrician)
		},
		"LeaveCrewOut": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.LeaveCrewOut(ctx, x.electrician, "x"))
		},
		"PromisesIn": func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.PromisesIn(ctx, x.room) },
		"SaidOf":     func(ctx context.Context, tx *persistence.Tx) (any, error) { return tx.SaidOf(ctx, x.job) },
		"SaveCrew": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.SaveCrew(ctx, programme.Crew{ID: id.New[id.Crew](), Trade: words.Plumber, Name: "x", People: 1,
				Member: x.member}, now))
		},
		"EndCrew": func(ctx context.Context, tx *persistence.Tx) (any, error) { return none(tx.EndCrew(ctx, x.crew, now)) },
		"SaveAway": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.SaveAway(ctx, programme.Away{ID: id.New[id.Away](), Crew: x.crew, From: now, To: now, At: now}))
		},
		"DeleteAway": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.DeleteAway(ctx, x.away))
		},
		"SavePin": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.SavePin(ctx, programme.Pin{Piece: theirPiece(x), On: now.AddDate(0, 0, 9), At: now}))
		},
		"DeletePin": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.DeletePin(ctx, theirPiece(x)))
		},
		"InsertPromise": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.InsertPromise(ctx, programme.Promise{ID: id.New[id.Promise](), Job: x.job, To: words.Client,
				On: now, GivenBy: x.member, GivenAt: now, Why: "x"}, x.promise))
		},
		"SaveOwed": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.SaveOwed(ctx, programme.Owed{ID: x.owed, Room: x.room, What: "x", By: words.Client}, now))
		},
		"DeleteOwed": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.DeleteOwed(ctx, x.owed))
		},
		"SetThrough": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.SetThrough(ctx, x.room, []id.Room{x.room}))
		},
		"SaveComing": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.SaveComing(ctx, programme.Coming{Crew: x.crew, Job: x.job, On: now.AddDate(0, 0, 9), At: now}))
		},
		"InsertVisitLink": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return none(tx.InsertVisitLink(ctx, firm.Hash{1}, programme.VisitLink{Crew: x.crew, Made: now,
				Expires: now.AddDate(0, 0, 1)}))
		},
		"VisitLink": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.VisitLink(ctx, x.visits, now.AddDate(-1, 0, 0))
		},
		"EndVisitLinks": func(ctx context.Context, tx *persistence.Tx) (any, error) {
			return tx.EndVisitLinks(ctx, x.crew, x.member, now.AddDate(-1, 0, 0))
		},
	}
}

var errUndo = errors.New("take it back")

// Every method of the store, called with ids of another firm, finds nothing
// and changes nothing. The control: called from the right firm, most of the
// same calls go through.
func TestEveryMethodWithAForeignFirmsIDs(t *testing.T) {
	s := dbtest.New(t)
	x := fill(t, s)
	stranger := s.Found(t, "Marl & Sons")
	all := calls(x)
	before := everything(t, s)
	methods := reflect.TypeFor[*persistence.Tx]()
	for i := range methods.NumMethod() {
		name := methods.Method(i).Name
		call, listed := all[name]
		if !listed {
			t.Errorf("%s is not listed: say how another firm's ids are kept from it", name)
		}
		if call == nil {
			continue
		}
		err := s.DB.WithTx(t.Context(), stranger, func(tx *persistence.Tx) error {
			got, err := call(t.Context(), tx)
			if err == nil && found(got) {
				t.Errorf("%s found %+v", name, got)
			}
			return err
		})
		if err != nil && fault.KindOf(err) == "" && !pgRefused(err) {
			t.Errorf("%s ended with %v", name, err)
		}
		if after := everything(t, s); !reflect.DeepEqual(before, after) {
			t.Fatalf("%s changed something: %v, was %v", name, after, before)
		}
	}
	went := 0
	for name, call := range all {
		if call == nil {
			continue
		}
		err := s.DB.WithTx(t.Context(), s.Owner, func(tx *persistence.Tx) error {
			if _, err := call(t.Context(), tx); err != nil {
				return err
			}
			_, err := tx.Firm(t.Context()) // what was only queued has gone out by then
			return cmp.Or(err, errUndo)
		})
		if errors.Is(err, errUndo) {
			went++
		} else {
			t.Logf("control: %s from its own firm: %v", name, err)
		}
	}
	if went < 38 {
		t.Errorf("only %d calls go through from the right firm", went)
	}
}

// everything is a sum over all rows of the first firm.
func everything(t *testing.T, s *dbtest.Site) []string { return everythingBut(t, s) }

// everythingBut is everything without some columns.
func everythingBut(t *testing.T, s *dbtest.Site, columns ...string) []string {
	t.Helper()
	conn := connect(t, s, localpg.Superuser)
	defer conn.Close(t.Context())
	var out []string
	for _, table := range texts(t, conn,
		`select relname::text from pg_class where relnamespace = 'public'::regnamespace and relkind = 'r' order by 1`) {
		where := " where t.firm_id = '" + s.Owner.Firm.String() + "'"
		if table == "schema_migrations" {
			where = ""
		}
		out = append(out, texts(t, conn,
			`select '`+table+` ' || count(*) || ' ' || coalesce(md5(string_agg(t, '|' order by t)), '')
				from (select (to_jsonb(t) - coalesce($1::text[], '{}'))::text as t from "`+table+`" t`+where+`) t`, columns)...)
	}
	return out
}

// pgRefused reports whether the database itself refused.
func pgRefused(err error) bool {
	var pg *pgconn.PgError
	return errors.As(err, &pg)
}
