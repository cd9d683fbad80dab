package web

import (
	"lathmark/domain/advice"
	"lathmark/domain/caution"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/web/drawing"
	"net/url"
	"time"
)

var cutCautions = cautious(caution.Everywhere()...)

// cautious are cautions as pages show them.
func cautious(list ...caution.Caution) (out []Caution) {
	for _, c := range list {
		out = append(out, Caution{Says: c.Text, Source: c.Foot()})
	}
	return out
}

// hole is a hole to mark, of which something is said.
func hole(n byte, name, kind string, cut, a, b float64, lines ...advice.Line) HoleRow {
	lines = append(lines, advice.Line{Grade: advice.Tell, Says: "Chance of missing the tail: about 1 in 100."},
		advice.Line{Grade: advice.Tell, Says: "Clear of J2 by 118. Chance of hitting it: under 1 in 1,000."},
		advice.Line{Grade: advice.Tell, Says: words.Capital(words.Checked(14)) + "."})
	return HoleRow{Position: &room.Position{ID: numbered[id.Position](n), Name: name, Kind: kind, Cutout: cut},
		Advice: &advice.Hole{Name: name, Open: true, MayCut: lines[0].Grade != advice.Stop, Saw: words.Saw(cut), PlusMinus: 6,
			Lines: lines, Marks: []advice.Mark{{Value: a, From: "south wall", State: "skimmed"},
				{Value: b, From: "west wall", State: "skimmed"}}}}
}

// found is a hole in which the tail was.
func found() *room.Opening {
	return &room.Opening{Outcome: words.Found, By: numbered[id.Member](2), At: cannedDate}
}

func setOut() SetOutView {
	plan := cannedPlan("skim", drawing.SetOut)
	plan.Leads = func(kind, id string) drawing.Lead {
		line := "#" + drawing.RowAnchor("ceiling", kind, id)
		if kind == "position" {
			return drawing.Lead{Href: line}
		}
		return drawing.Lead{Href: utilityAt.RoomPage() + line}
	}
	first := hole(2, "D2", "downlight", 76, 602, 1924, advice.Line{Grade: advice.Warn,
		Says: "Cut D2 first: it proves the set-out for the others."})
	first.Advice.First = true
	d1 := hole(1, "D1", "downlight", 76, 600, 722)
	d1.Opening = found()
	d3 := hole(3, "D3", "downlight", 76, 599, 3124, advice.Line{Grade: advice.Stop,
		Says: "Not sure until m21 (D3 from west) is corrected: it does not fit. Do not cut yet."})
	d3.Advice.Doubt = "Not sure until m21 (D3 from west) is corrected: it does not fit."
	f1 := hole(5, "F1", "fan", 0, 1752, 2694, advice.Line{Grade: advice.Warn,
		Says: "Moved 42 towards the east wall to clear J4."})
	f1.Cautions = cautious(caution.Zoned{Zone: caution.Zone2, Distance: 300}.Cautions("F1", 2200, false)...)
	f1.Advice.Marks[0] = advice.Mark{Value: 251, From: "steel", Side: "towards the north wall"}
	return SetOutView{Sheet: sheetFor(electrician, "Set-out", utilityAt,
		Next{"Cut D2 first: it proves the set-out for the others.", "Record D2",
			utilityAt.Outcome(numbered[id.Position](2).String())}),
		Cautions: cutCautions, MayOpen: true,
		Surfaces: []SetOutSurface{{ID: "ceiling", Name: "Ceiling", State: "skimmed", Plan: plan.SVG(), First: []HoleRow{first},
			Cautions: cautious(caution.FittingHeat), Holes: []HoleRow{d1, d3, f1},
			Lines: []LineRow{{Mark: advice.Mark{Value: 600, From: "south wall", State: "skimmed"},
				Serves: []string{"D1", "D2", "D3"}},
				{Mark: advice.Mark{Value: 1752, From: "south wall", State: "skimmed"}, Serves: []string{"D4", "F1"},
					Says: "Moved 12 to clear timber."}},
			NotYet: []NotYetRow{{"D4", "one offset only, so it has no place"}, {"P1", "no hole saw: it was left open"},
				{"S1", "held: the client has not chosen the sensor"}}}}}
}

// holes returns the leaves of the canned set-out: one to be opened first, one
// that was moved and has a caution, one that may hit a timber.
func holes() HolesView {
	s := setOut().Surfaces[0]
	v := HolesView{Sheet: sheetFor(electrician, "Holes", utilityAt, say("Cut D2 first: it proves the set-out for the others.")),
		MayOpen: true,
		Outcomes: []Option{{"found", "Found: the tail was there"}, {"hooked_out", "Hooked out: it was within reach"},
			{"not_found", "Not found"}, {"on_timber", "On timber"}}}
	for i, h := range []HoleRow{s.First[0], s.Holes[1], s.Holes[2]} {
		v.Leaves = append(v.Leaves, HoleLeaf{Hole: h, Surface: "Ceiling, skimmed today",
			Marks: Marks{FromA: "d1", SideA: "+", StateA: "skim", FromB: "d8", SideB: "+"},
			Turn:  []string{"1 of 3", "2 of 3", "3 of 3"}[i], Cautions: cutCautions})
	}
	for i := range 2 {
		v.Leaves[i].On, v.Leaves[i+1].Back = v.Leaves[i+1].Hole.Position, v.Leaves[i].Hole.Position
	}
	return v
}

func secondSamples() []sample {
	at := utilityAt
	sheet := func(title, next string) Sheet { return sheetFor(electrician, title, at, say(next)) }
	outcomes := []Option{{"found", "Found: the tail was there"}, {"hooked_out", "Hooked out: it was within reach"},
		{"not_found", "Not found"}, {"on_timber", "On timber"}}
	h := hole(2, "D2", "downlight", 76, 602, 1924)
	learned := setOut()
	learned.Learned = "D2 was 4 nearer the south wall than marked: its board is 29, not 25. The others below are " +
		"corrected."
	d2 := learned.Surfaces[0].First[0]
	d2.Opening = found()
	learned.Surfaces[0].Holes = append([]HoleRow{d2}, learned.Surfaces[0].Holes...)
	learned.Surfaces[0].First = nil
	waiting := holes()
	waiting.MayOpen = false
	waiting.Lost = []string{"The hole at D7 ended on timber and nothing makes it good. Record a patch for it."}
	doubt := hole(3, "D3", "downlight", 76, 599, 3124)
	doubt.Advice.Doubt = "Not sure until m21 (D3 from west) is corrected: it does not fit."
	return []sample{
		canned(Holes, "", holes()), canned(Holes, "waiting", waiting), canned(Holes, "empty",
			HolesView{Sheet: sheet("Holes", "Nothing is left to open.")}),
		canned(SetOut, "", setOut()), canned(SetOut, "learned", learned), canned(SetOut, "empty",
			SetOutView{Sheet: sheet("Set-out", "Measure first; mark later."), Cautions: cutCautions}),
		canned(Outcome, "", OutcomeView{Sheet: sheet("D2: what you found", "Say what was behind D2 and where the tail really was."),
			Hole: h, Outcomes: outcomes, Cautions: cutCautions}),
		canned(Outcome, "faults", OutcomeView{Sheet: sheet("D2: what you found", "Measure where the tail was."),
			Typed: typed(wrong("off_a", "A found tail has no place from the south wall",
				"Measure it as you measured the mark")).with("outcome", "hooked_out", "off_b", "1930", "patch", "yes",
				"note", "behind insulation"),
			Hole:     h,
			Marks:    Marks{FromA: "d1", SideA: "+", StateA: "skim", FromB: "d8", SideB: "+"},
			Outcomes: outcomes,
			Cautions: cutCautions,
			Photo:    PhotoPart{Title: "Photos of D2", Rows: photoRows()[:1], Field: photoField("position/q2", "D2")}}),
		canned(Outcome, "doubt", OutcomeView{Sheet: sheet("D3: what you found", "Say what was behind D3."),
			Typed: typed(wrong("doubt", "the record of D3 is in doubt", "Say that you know that its record is in doubt")),
			Hole:  doubt, Outcomes: outcomes, Cautions: cutCautions}),
		canned(Patches, "", PatchesView{MayDo: true,
			Sheet: sheet("Patches", "One patch is open. Fill it so that it can dry."),
			Holes: []Option{{"d", "D9, hooked out"}}, Rows: []PatchRow{
				{Where: "D5", Why: "on timber", Patch: room.Patch{Opening: numbered[id.Opening](1)}},
				{Where: "D7", Why: "not found",
					Patch: room.Patch{Opening: numbered[id.Opening](2), FilledAt: daysBefore(1), DryAt: daysBefore(-3)}},
				{Where: "D8", Why: "not found: cut too far north", Dry: true,
					Patch: room.Patch{Opening: numbered[id.Opening](3), FilledAt: daysBefore(9), DryAt: daysBefore(5)}}}}),
		canned(Patches, "empty", PatchesView{Sheet: sheet("Patches", "Nothing to fill here.")}),
		canned(Snags, "", SnagsView{Sheet: sheet("Snags", "One snag is open."), Who: []Option{{"decorator", "Any decorator"}},
			Rows: []SnagRow{
				{Snag: room.Snag{ID: numbered[id.Snag](1), Says: "A run in the paint, left of the window",
					NotedBy: numbered[id.Member](1), NotedAt: daysBefore(2), DueOn: dayBefore(-3)}, Who: "the decorator", MayRun: true,
					Given: "decorator", Mine: true, Photo: PhotoPart{Field: photoField("snag/1", "A run in the paint")}},
				{Snag: room.Snag{ID: numbered[id.Snag](3), Says: "A scratch on the sill", NotedBy: numbered[id.Member](1),
					NotedAt: daysBefore(2), DoneBy: numbered[id.Member](2), DoneAt: daysBefore(1)}, Who: "the decorator", MayRun: true},
				{Snag: room.Snag{ID: numbered[id.Snag](2), Says: "Bezel not tight, D2", NotedBy: numbered[id.Member](1),
					NotedAt: daysBefore(3), ClosedBy: numbered[id.Member](2), ClosedAt: daysBefore(1)}, Who: "the electrician"}}}),
		canned(Snags, "empty", SnagsView{Sheet: sheet("Snags", "No snag is open.")}),
	}
}

func tradeSamples() []sample {
	none, kitchen := Place{}, Place{Job: "job-1", Room: "room-4"}
	tasks := []TaskJob{{"14 Quarry Lane", "Nether Holm", []TaskRoom{
		{At: utilityAt, Name: "Utility", Stage: "first fix", Tasks: []Task{
			{"Ceiling", "Measure D4, P1 and S1 from two walls (3 positions).", "Measure D4", utilityAt.MeasureAt("q4"), "tape and laser"},
			{"", "F1 is held: the client has not chosen the fan.", "", "", ""}}},
		{At: bathAt, Name: "Bathroom", Stage: "boarding",
			Closing: "Do not close the ceiling yet: 2 tails are not seen free (D2 and W1).", Others: []Task{{"Ceiling", "Cut D1 to D4 (4 holes). Cut D2 first.", "Setting-out sheet", bathAt.SetOut(),
				"hole saw 76"}}}}},
		{"Mill Loft", "Weir Street", []TaskRoom{{At: Place{"job-2", "room-7"}, Name: "Studio", Stage: "first fix",
			Tasks: []Task{{"", "Everything is on record. Offer first fix.", "Offer it", Place{Room: "room-7"}.Gate("first-fix"), ""}}}}}}
	return []sample{
		canned(Tasks, "", TasksView{sheetFor(electrician, "To do", none,
			Next{"Begin in the utility at 14 Quarry Lane: measure D4.", "Measure D4", utilityAt.MeasureAt("q4")}), tasks}),
		canned(Tasks, "empty", TasksView{Sheet: sheetFor(electrician, "To do", none,
			say("Nothing for you here until the boards are up in the kitchen."))}),
		canned(Visits, "", VisitsView{sheetFor(electrician, "My visits", none,
			Next{"Utility, 14 Quarry Lane: measure D4 next.", "Measure D4", utilityAt.MeasureAt("q4")}), []VisitRoom{
			{At: utilityAt, Job: "14 Quarry Lane", Name: "Utility", Says: "First fix", More: 2,
				Does: []string{"Ceiling: measure D4, P1 and S1 from two walls (3 positions)."}, Act: "Measure D4",
				Href: utilityAt.MeasureAt("q4"), Needs: []string{"tape or laser"}},
			{At: bathAt, Job: "14 Quarry Lane", Name: "Bathroom", Says: "Boarding", Act: "Record it as built", Href: bathAt.AsBuilt(),
				Closing: "Do not close the ceiling yet: 2 tails are not seen free (D2 and W1)."}}}),
		canned(Visits, "empty", VisitsView{Sheet: sheetFor(electrician, "My visits", none, say("Nothing to go to today."))}),
		canned(Ready, "", ReadyView{Sheet: sheetFor(dryLiner, "Ready rooms", none,
			Next{"The kitchen has been ready for boards since Thu 19 Nov.", "See the tails free", kitchen.Tails()}),
			Stage: "boarding",
			Rooms: []ReadyRoom{{kitchen, "14 Quarry Lane", "Kitchen", "boarding", daysBefore(6),
				"5 tails are to be seen free, then the boards go up.", "Check the tails", kitchen.Tails()}},
			Soon: []SoonRoom{{"14 Quarry Lane", "Utility", "first fix: 4 obstacles"},
				{"Mill Loft", "Studio", "first fix: to be offered"}}}),
		canned(Ready, "empty", ReadyView{Sheet: sheetFor(dryLiner, "Ready rooms", none,
			say("Nothing for you here until a first fix is signed off.")), Stage: "boarding"}),
	}
}

func entrySamples() []sample {
	in := func(title, next string) Sheet {
		s := sheetFor(Person{}, title, Place{}, say(next))
		return s
	}
	conflict := ConflictView{Sheet: sheetFor(foreman, "Two records", utilityAt,
		Next{"Look at both, then enter what is right.", "Open the form again", utilityAt.Datum("d1")}),
		What: "the south wall", Who: "Ola Brandt", When: words.DateTime(cannedDate), Again: utilityAt.Datum("d1"),
		Rows: []ConflictRow{{"Name", "south wall", "south wall"}, {"Known to within", "5", "10"}, {"Leans by", "", "2"}}}
	keySheet := sheetFor(foreman, "Keys for other programs", Place{},
		say("Make a key for a program that reads or records in your name. Your keys are listed below."))
	keyScopes := []Option{{"read", "reading"}, {"record", "reading and recording"},
		{"run", "reading, recording and running jobs"}}
	trades := []Option{{"electrician", "electrician"}, {"dry_liner", "dry liner"},
		{"foreman", "foreman, who sees every job"}}
	return []sample{
		canned(SignIn, "", SignInView{Sheet: in("Who are you today?", "Choose a person of the demonstration firm."),
			People: []DemoPerson{{foreman, "Sign off first fix in the studio"},
				{electrician, "Measure D4 in the utility"}, {dryLiner, ""}}}),
		canned(SignIn, "closed", SignInView{Sheet: in("Sign in", "Open the link that was made for you."),
			Typed: typed(wrong("", "That link was used before", "Ask the owner of your firm for a new one"))}),
		canned(ComeIn, "", ComeInView{Sheet: in("Sign in", "Sign in with your one-time link."),
			Link: "secret"}),
		canned(ComeIn, "account", ComeInView{Sheet: in("Sign in", "Sign in with your one-time link."),
			Link: "secret", Ways: signIns("secret")}),
		canned(SignIn, "account", SignInView{Sheet: in("Who are you?",
			"Sign in with one of your accounts, or open the one-time link you were given."), Ways: signIns("")}),
		canned(ChooseFirm, "", ChooseFirmView{Sheet: in("Which firm?",
			"You belong to several firms. Choose the one to work for."), Asked: "asked", Places: []Workplace{
			{"f1", "Aldous & Daughters", foreman, false}, {"f2", "Marl & Sons", foreman, false}}}),
		canned(ChooseFirm, "tie", ChooseFirmView{Sheet: sheetFor(dryLiner, "Is this you?", Place{},
			say("You are about to sign in as "+electrician.Name+", electrician of Aldous & Daughters.")), Asked: "asked",
			Account: "ola@firm.example", Label: "your office account", Ties: true,
			Places: []Workplace{{"f1", "Aldous & Daughters", electrician, true}}}),
		canned(Onward, "", OnwardView{sheetFor(Person{}, "Sign in with your office account", Place{}, Next{
			Sentence: "You sign in with your office account on its own page, and come back from there.",
			Action:   "Go on", Href: "https://office.example/authorize?state=x"})}),
		canned(Trouble, "not-found", NotFoundView(sheetFor(foreman, "", Place{}, Next{}))),
		canned(Trouble, "broken", BrokenView(sheetFor(foreman, "", Place{}, Next{}), "7f3a-19")),
		canned(Trouble, "down", DownView(sheetFor(foreman, "", Place{}, Next{}), "The records cannot be reached just now.",
			"/jobs/new", true, url.Values{"token": {"tok"}, "name": {"14 Kiln Lane"},
				"address": {"Line 1\nLine 2"}})),
		canned(Trouble, "down-read", DownView(sheetFor(foreman, "", Place{}, Next{}),
			"The records cannot be reached just now.", "/tasks", false, nil)),
		canned(Trouble, "unreadable", UnreadableView(sheetFor(foreman, "", Place{}, Next{}),
			"This room's record can't be read: one of its holes.")),
		canned(Conflict, "", conflict),
		canned(Confirm, "", confirm(foreman, ConfirmView{HasPasskey: true, Method: "post", Again: "/people?as=p1",
			Typed: Sent(url.Values{"token": {"tok"}, "name": {"Wim Haas"}})})),
		canned(Confirm, "make", confirm(foreman, ConfirmView{Wanted: true, Make: true, Method: "get", Again: "/"})),
		canned(Confirm, "wanted", confirm(owner, ConfirmView{Wanted: true, HasPasskey: true, Owner: true, Method: "get",
			Again: "/"})),
		canned(Confirm, "link", confirm(electrician, ConfirmView{Method: "get", Again: "/sessions/data"})),
		canned(Confirm, "account", confirm(electrician, ConfirmView{Method: "post", Again: "/keys?as=p2",
			Typed: Sent(url.Values{"token": {"tok"}}),
			Ways:  []WayIn{{Label: "your office account", Href: "/sign-in/with/office"}}, Demo: "p2"})),
		canned(Sessions, "", SessionsView{Sheet: sheetFor(electrician, "Where you are signed in", Place{},
			say("You are signed in on 2 devices. Sign out where you no longer work.")), MayMakeKeys: true,
			MayAdd: true, Passkeys: cannedPasskeys(), Here: cannedID[id.Session](1),
			Rows: []firm.Session{cannedSession(1, "Chrome on Android", 3, cannedDate),
				cannedSession(2, "Firefox on Linux", 30, daysBefore(9))}}),
		canned(Sessions, "changed", SessionsView{Sheet: sheetFor(electrician, "Where you are signed in", Place{},
			say("You are signed in on 2 devices. Sign out where you no longer work.")), MayAdd: true, Changed: true,
			Here: cannedID[id.Session](1), Rows: []firm.Session{cannedSession(1, "Chrome on Android", 3, cannedDate),
				cannedSession(2, "Firefox on Linux", 30, daysBefore(9))}}),
		canned(Sessions, "one", SessionsView{Sheet: sheetFor(Person{ID: "p9", Name: "Cleo Venn", Trade: "client"},
			"Where you are signed in", Place{}, say("You are signed in here and nowhere else.")),
			Here: cannedID[id.Session](1),
			Rows: []firm.Session{cannedSession(1, "Safari on iPhone", 3, cannedDate)}}),
		canned(Invite, "", InviteView{Sheet: sheetFor(foreman, "Invite somebody", Place{Job: "job-1"},
			say("Choose what the person does, then let them scan the code from your phone.")), Trades: trades,
			Waiting: []firm.Invitation{{ID: cannedID[id.Invitation](1), Role: firm.Trade, Trade: words.Tiler,
				JobNames: []string{"14 Quarry Lane"}, ByName: "Ruth Aldous", Printed: true,
				EndsAt: cannedDate.Add(9 * time.Hour)}}}),
		canned(Invite, "made", InviteView{Sheet: sheetFor(foreman, "Invite somebody", Place{Job: "job-1"},
			say("Let the person point their phone's camera at the code. It is shown only this once.")), Trades: trades,
			Code: cannedCode("/invited/", "electrician on 14 Quarry Lane", false)}),
		canned(Invite, "paper", InviteView{Sheet: sheetFor(foreman, "Invite somebody", Place{Job: "job-1"},
			say("Print this page now and give it to the person. The code is shown only this once.")), Trades: trades,
			Code: cannedCode("/invited/", "tiler on 14 Quarry Lane", true)}),
		canned(Invite, "faults", InviteView{Sheet: sheetFor(foreman, "Invite somebody", Place{Job: "job-1"},
			say("Choose what the person does, then let them scan the code from your phone.")), Trades: trades,
			Typed: typed(wrong("as", "it does not say what the person does", "Choose the trade"))}),
		canned(Invited, "", InvitedView{Sheet: in("You are invited",
			"Write your name, and you work for Aldous & Daughters on this phone."), Code: "secret", Of: "Aldous & Daughters",
			For: "electrician on 14 Quarry Lane", By: "Ruth Aldous", Ends: cannedDate.Add(10 * time.Minute)}),
		canned(Invited, "here", InvitedView{Sheet: sheetFor(dryLiner, "You are invited", Place{},
			say("Write your name, and you work for Aldous & Daughters on this phone.")), Code: "secret",
			Of:  "Aldous & Daughters",
			For: "electrician on 14 Quarry Lane", By: "Ruth Aldous", Ends: cannedDate.Add(10 * time.Minute),
			Typed: typed(wrong("name", "somebody in the firm already has that name",
				"Add a middle name or your firm's name")).with("name", "Ruth Aldous")}),
		canned(NoCode, "", NoCodeView{in("Sign in",
			"This code no longer works. Ask the person who gave it to you for a new one.")}),
		canned(Device, "", DeviceView{sheetFor(electrician, "Another device", Place{},
			say("Point the other device's camera at the code. It is shown only this once.")), cannedCode("/in/",
			"Signs you in on another device", false), nil}),
		canned(Device, "tie", DeviceView{sheetFor(electrician, "Another device", Place{},
			say("Point the other device's camera at the code. It is shown only this once.")), cannedCode("/in/",
			"Signs you in on another device", false), signIns("tok")}),
		canned(Keys, "", KeysView{Sheet: keySheet, Typed: begins("scope", "read", "days", "90"), Scopes: keyScopes,
			Rows: []firm.Key{
				{ID: cannedID[id.Key](1), Name: "The office's spreadsheet", Scope: firm.KeyReads, CreatedAt: daysBefore(20),
					UsedAt: daysBefore(1), EndsAt: daysBefore(-70)},
				{ID: cannedID[id.Key](2), Name: "An old program", Scope: firm.KeyRecords, CreatedAt: daysBefore(100),
					EndsAt: daysBefore(10)}}}),
		canned(Keys, "made", KeysView{Sheet: keySheet, Typed: begins("scope", "read", "days", "90"), Scopes: keyScopes,
			Secret: "lathmark_AAECAwQFBgcICQoLDA0ODxAREhMUFRYXGBkaGxwdHh8gISIjJCUmJygpKissLS4v"}),
		canned(Keys, "faults", KeysView{Sheet: keySheet,
			Typed: typed(wrong("name", "There is no name, or it is too long",
				"Say in up to 60 characters which program the key is for")).with("scope", "record", "days", "400"),
			Scopes: keyScopes}),
	}
}

func signIns(link string) []WayIn {
	return []WayIn{{"your office account", ProviderSignInPath + "office", link},
		{"the site's account", ProviderSignInPath + "site", link}}
}

// cannedCode returns a code as long as a real one.
func cannedCode(path, says string, printed bool) CodeSheet {
	code, err := NewCodeSheet("https://lathmark.example"+path+
		"AAECAwQFBgcICQoLDA0ODxAREhMUFRYXGBkaGxwdHh8gISIjJCUmJygpKissLS4v", says, cannedDate.Add(10*time.Minute), printed)
	if err != nil {
		panic(err)
	}
	return code
}

// confirm is the page that asks by who it is.
func confirm(by Person, v ConfirmView) ConfirmView {
	v.Sheet, v.Minutes = sheetFor(by, "Is it you?", Place{}, Next{}), 10
	v.Say()
	return v
}
