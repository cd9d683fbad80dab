package web

import "time"

var owner = Person{ID: "p0", Name: "Hilde Aldous", Initials: "HA", Trade: "owner", Foreman: true}

var personKinds = newOptions("owner", "owner", "foreman", "foreman", "electrician", "electrician", "dry_liner",
	"dry liner", "client", "client")

var personForm = PersonForm{personKinds, newOptions("job-1", "14 Quarry Lane", "job-2", "Mill Loft")}

func personRows() []PersonRow {
	return []PersonRow{
		{ID: "p0", Name: "Hilde Aldous", Does: "owner", On: "every job", Email: "hilde@aldous.example",
			Since: daysBefore(900), Self: true},
		{ID: "p1", Name: "Ruth Aldous", Does: "foreman", On: "every job", Email: "ruth@aldous.example",
			Since: daysBefore(800)},
		{ID: "p2", Name: "Ola Brandt", Does: "electrician", On: "every job", Since: daysBefore(300)},
		{ID: "p3", Name: "Ines Quill", Does: "dry liner", On: "14 Quarry Lane and Mill Loft", Since: daysBefore(40)},
		{ID: "p5", Name: "Wim Haas", Does: "client", On: "no job", Since: daysBefore(2)}}
}

func peopleSamples() []sample {
	none, job := Place{}, Place{Job: "job-1"}
	by := func(p Person, title, next string) Sheet { return sheetFor(p, title, none, say(next)) }
	gone := []PersonRow{{ID: "p9", Name: "Pell Castor", Does: "plasterer", On: "every job", Since: daysBefore(500),
		Left: daysBefore(20)}}
	people := PeopleView{Sheet: by(owner, "People", "5 people are of the firm. Look at one, or add one."),
		Rows: personRows(), Gone: gone, MayRun: true,
		Codes: []CodeRow{{ID: "c1", For: "tiler on 14 Quarry Lane", By: "Ruth Aldous",
			Ends: cannedDate.Add(10 * time.Minute)}, {ID: "c2", For: "foreman", By: "Hilde Aldous", Printed: true,
			Ends: cannedDate.Add(9 * time.Hour)}},
		PersonForm: personForm}
	faults := people
	faults.Typed = typed(wrong("name", "there is no name", "Give first and last name on one line"),
		wrong("as", "there is no such role", "Choose what the person does"),
		wrong("jobs", "only a trade is put on every job", "Tick the jobs that a client follows"), wrong("email",
			"that is no e-mail", "Give it as name@firm.example")).with("as", "client",
		"email", "wim at haas", "every_job", "yes", "jobs", "job-1")

	ola := personRows()[2]
	row := func(n int, device string) SessionRow {
		return SessionRow{ID: device, Device: device, Since: daysBefore(n), Seen: daysBefore(1).Add(3 * time.Hour),
			EndsDay: daysBefore(n - 60)}
	}
	member := MemberView{Sheet: by(owner, "Ola Brandt",
		"Ola Brandt is signed in on 2 devices. Change what is said of Ola Brandt, or end a way in."), Of: ola,
		Lasts: "2 days",
		Typed: begins("name", "Ola Brandt", "as", "electrician", "every_job", "yes"), PersonForm: personForm,
		KnownBy:  []string{"accounts.example"},
		Sessions: []SessionRow{row(12, "Chrome on Android"), row(3, "Firefox on Linux")},
		Passkeys: []PasskeyRow{{"pk1", "My phone", daysBefore(3), daysBefore(1)}, {"pk2", "The office", daysBefore(30),
			time.Time{}}},
		Keys: []KeyRow{{ID: "k1", Name: "The office's spreadsheet", GoodFor: "reading", Made: daysBefore(50),
			Used: daysBefore(2), Ends: daysBefore(-40)},
			{ID: "k2", Name: "A trial", GoodFor: "reading", Made: daysBefore(90), Ends: daysBefore(1), Over: true}}}
	nowhere := MemberView{Sheet: by(owner, "Ines Quill",
		"Ines Quill is not signed in anywhere. Make a one-time link to let Ines Quill in."), Of: personRows()[3],
		Typed: begins("name", "Ines Quill", "as", "dry_liner", "jobs", "job-1", "jobs", "job-2"), PersonForm: personForm}
	link := nowhere
	link.Link, link.Lasts = "https://lathmark.example/in/Jb2Q9x7mK4v8sT1nR6wY3zA5cD0eF7gH2iL9oP4qU8r", "2 days"
	left := MemberView{Sheet: by(owner, "Pell Castor", "Nothing is owed here: Pell Castor left."), Of: gone[0]}
	self := MemberView{Sheet: by(owner, "Hilde Aldous", "This is what is said of you."), Of: personRows()[0],
		Typed: begins("name", "Hilde Aldous", "as", "owner"), PersonForm: personForm,
		Sessions: []SessionRow{{ID: "s", Device: "Firefox on Linux", Here: true, Since: daysBefore(3),
			EndsDay: daysBefore(-57)}}}

	rows := []TeamRow{{At: job, ID: "p2", Name: "Ola Brandt", Does: "electrician"}, {At: job, ID: "p3", Name: "Ines Quill",
		Does: "dry liner", Named: true, MayTakeOff: true}, {At: job, ID: "p5", Name: "Wim Haas", Does: "client", Named: true}}
	team := TeamView{Sheet: sheetFor(foreman, "Who is on the job", job,
		say("3 people are on this job. Put on who works here, take off who does not.")), Rows: rows, Others: newOptions("p7",
		"Dov Lindqvist, tiler")}
	again := team
	again.Typed = typed(wrong("person", "it is not said who", "Choose somebody"))
	units := newOptions("minutes", "minutes", "hours", "hours", "days", "days")
	firm := FirmView{Sheet: by(owner, "How long people stay signed in",
		"Say after which time people have to come in again."), Typed: begins("idle", "14", "idle_in", "days",
		"absolute", "60", "absolute_in", "days"),
		Units: units}
	out := firm
	out.Typed = typed(wrong("idle", "the time without use is out of range",
		"Give 15 minutes to 60 days")).with("idle", "5", "idle_in", "minutes", "absolute", "60", "absolute_in", "days")
	return []sample{
		canned(People, "", people), canned(People, "faults", faults),
		canned(People, "foreman", PeopleView{Sheet: by(foreman, "People", "5 people are of the firm. The owner adds more."),
			Rows: personRows(), Gone: gone}),
		canned(Member, "", member), canned(Member, "nowhere", nowhere), canned(Member, "link", link), canned(Member, "left",
			left), canned(Member, "self", self),
		canned(Team, "", team), canned(Team, "faults", again),
		canned(Team, "empty", TeamView{Sheet: sheetFor(owner, "Who is on the job", job,
			say("Nobody of the trades is on this job.")), MayRun: true}),
		canned(Firm, "", firm), canned(Firm, "faults", out),
	}
}
