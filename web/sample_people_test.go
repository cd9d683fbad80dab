package web

import (
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

var owner = Person{ID: cannedID[id.Member](1).String(), Name: "Hilde Aldous", Initials: "HA", Trade: "owner",
	Foreman: true}

var personKinds = newOptions("owner", "owner", "foreman", "foreman", "electrician", "electrician", "dry_liner",
	"dry liner", "client", "client")

var personForm = PersonForm{personKinds, newOptions(cannedID[id.Job](1).String(), "14 Quarry Lane",
	cannedID[id.Job](2).String(), "Mill Loft")}

// cannedID returns the n-th id of a kind.
func cannedID[T ~[16]byte](n byte) (of T) {
	of[15] = n
	return of
}

func profile(n byte, name string, role firm.Role, trade words.Trade, since int) firm.Profile {
	var p firm.Profile
	p.ID, p.Name, p.Role, p.Trade, p.CreatedAt = cannedID[id.Member](n), name, role, trade, daysBefore(since)
	return p
}

func profiles() []firm.Profile {
	all := []firm.Profile{profile(1, "Hilde Aldous", firm.Owner, "", 900), profile(2, "Ruth Aldous", firm.Foreman, "",
		800),
		profile(3, "Ola Brandt", firm.Trade, words.Electrician, 300),
		profile(4, "Ines Quill", firm.Trade, words.DryLiner, 40), profile(5, "Wim Haas", firm.Client, "", 2)}
	all[0].Email, all[1].Email = "hilde@aldous.example", "ruth@aldous.example"
	all[2].EveryJob = true
	all[3].Team.Jobs = []id.Job{cannedID[id.Job](1), cannedID[id.Job](2)}
	return all
}

func cannedSession(n byte, device string, since int, seen time.Time) firm.Session {
	return firm.Session{ID: cannedID[id.Session](n), Device: device, CreatedAt: daysBefore(since), SeenAt: seen,
		EndsAt: daysBefore(since - 60)}
}

func cannedPasskeys() []firm.Passkey {
	return []firm.Passkey{
		{ID: cannedID[id.Passkey](1), Name: "My phone", CreatedAt: daysBefore(3), UsedAt: daysBefore(1)},
		{ID: cannedID[id.Passkey](2), Name: "The office", CreatedAt: daysBefore(30)}}
}

func peopleSamples() []sample {
	none, job := Place{}, Place{Job: "job-1"}
	by := func(p Person, title, next string) Sheet { return sheetFor(p, title, none, say(next)) }
	pell := profile(9, "Pell Castor", firm.Trade, words.Plasterer, 500)
	pell.EveryJob, pell.LeftAt = true, daysBefore(20)
	gone := []firm.Profile{pell}
	people := PeopleView{Sheet: by(owner, "People", "5 people are of the firm. Look at one, or add one."),
		Rows: profiles(), Gone: gone, MayRun: true,
		Codes: []firm.Invitation{
			{ID: cannedID[id.Invitation](1), Role: firm.Trade, Trade: words.Tiler, JobNames: []string{"14 Quarry Lane"},
				ByName: "Ruth Aldous", EndsAt: cannedDate.Add(10 * time.Minute)},
			{ID: cannedID[id.Invitation](2), Role: firm.Foreman, ByName: "Hilde Aldous", Printed: true,
				EndsAt: cannedDate.Add(9 * time.Hour)}},
		PersonForm: personForm}
	faults := people
	faults.Typed = typed(wrong("name", "there is no name", "Give first and last name on one line"),
		wrong("as", "there is no such role", "Choose what the person does"),
		wrong("jobs", "only a trade can be on every job", "Tick the jobs that a client follows"), wrong("email",
			"that is not an e-mail address", "Give it as name@firm.example")).with("as", "client",
		"email", "wim at haas", "every_job", "yes", "jobs", cannedID[id.Job](1).String())

	ola := profiles()[2]
	ola.Sessions = []firm.Session{cannedSession(1, "Chrome on Android", 12, daysBefore(1).Add(3*time.Hour)),
		cannedSession(2, "Firefox on Linux", 3, daysBefore(1).Add(3*time.Hour))}
	ola.Passkeys = cannedPasskeys()
	ola.Keys = []firm.Key{{ID: cannedID[id.Key](1), Name: "The office's spreadsheet", Scope: firm.KeyReads,
		CreatedAt: daysBefore(50), UsedAt: daysBefore(2), EndsAt: daysBefore(-40)},
		{ID: cannedID[id.Key](2), Name: "A trial", Scope: firm.KeyReads, CreatedAt: daysBefore(90), EndsAt: daysBefore(1)}}
	way := func(p firm.Profile) PersonAt { return PersonAt(p.ID.String()) }
	member := MemberView{Sheet: by(owner, "Ola Brandt",
		"Ola Brandt is signed in on 2 devices. Change what is said of Ola Brandt, or end a way in."), Of: ola, Way: way(ola),
		Lasts: "10 minutes",
		Typed: begins("name", "Ola Brandt", "as", "electrician", "every_job", "yes"), PersonForm: personForm,
		KnownBy: []string{"accounts.example"}}
	nowhere := MemberView{Sheet: by(owner, "Ines Quill",
		"Ines Quill is not signed in anywhere. Make a one-time link to let Ines Quill in."), Of: profiles()[3],
		Way: way(profiles()[3]), Lasts: "2 days",
		Typed: begins("name", "Ines Quill", "as", "dry_liner", "jobs", cannedID[id.Job](1).String(), "jobs",
			cannedID[id.Job](2).String()), PersonForm: personForm}
	link := nowhere
	link.Link = "https://lathmark.example/in/Jb2Q9x7mK4v8sT1nR6wY3zA5cD0eF7gH2iL9oP4qU8r"
	left := MemberView{Sheet: by(owner, "Pell Castor", "Nothing is owed here: Pell Castor left."), Of: pell,
		Way: way(pell)}
	hilde := profiles()[0]
	hilde.Sessions = []firm.Session{cannedSession(1, "Firefox on Linux", 3, cannedDate)}
	self := MemberView{Sheet: by(owner, "Hilde Aldous", "These are your own details."), Of: hilde,
		Way: way(hilde), Self: true, Here: cannedID[id.Session](1), Lasts: "10 minutes", Changed: true,
		Typed: begins("name", "Hilde Aldous", "as", "owner"), PersonForm: personForm}

	rows := []TeamRow{{ID: "p2", Name: "Ola Brandt", Does: "electrician"}, {ID: "p3", Name: "Ines Quill",
		Does: "dry liner", Named: true, MayTakeOff: true}, {ID: "p5", Name: "Wim Haas", Does: "client", Named: true}}
	team := TeamView{Sheet: sheetFor(foreman, "Who is on the job", job,
		say("3 people are on this job. Add the people who work here, remove those who do not.")), Rows: rows, Others: newOptions("p7",
		"Dov Lindqvist, tiler")}
	again := team
	again.Typed = typed(wrong("person", "it does not say who", "Choose somebody"))
	units := newOptions("minutes", "minutes", "hours", "hours", "days", "days")
	times := FirmView{Sheet: by(owner, "The firm's settings",
		"Set the firm's time zone, and how long people stay signed in."), Typed: begins("zone",
		"Europe/London", "idle", "14", "idle_in", "days",
		"absolute", "60", "absolute_in", "days", "need_passkey", "runners"),
		Units: units, PasskeysOf: newOptions("nobody", "Nobody", "runners", "Owners and foremen", "everybody",
			"Everybody who signs in, trades and clients too")}
	out := times
	out.Typed = typed(wrong("idle", "the time without use is out of range",
		"Give 15 minutes to 60 days"), wrong("zone", "there is no time zone of this name",
		"Give the IANA name of one, spelled as here: Europe/London, America/New_York, Asia/Kolkata, UTC")).with("zone",
		"Europe/Atlantis", "idle", "5", "idle_in", "minutes", "absolute", "60", "absolute_in", "days",
		"need_passkey", "everybody")
	return []sample{
		canned(People, "", people), canned(People, "faults", faults),
		canned(People, "foreman", PeopleView{Sheet: by(foreman, "People", "5 people are of the firm. The owner adds more."),
			Rows: profiles(), Gone: gone, PersonForm: personForm}),
		canned(Member, "", member), canned(Member, "nowhere", nowhere), canned(Member, "link", link), canned(Member, "left",
			left), canned(Member, "self", self),
		canned(Team, "", team), canned(Team, "faults", again),
		canned(Team, "empty", TeamView{Sheet: sheetFor(owner, "Who is on the job", job,
			say("No trades are on this job yet.")), MayRun: true}),
		canned(Firm, "", times), canned(Firm, "faults", out),
	}
}
