package api

import "github.com/danielgtaylor/huma/v2"

// part is a part of the API: a tag of the document, and what registers the
// operations that have it.
type part struct {
	name, says string
	add        func()
}

// parts are all of the API, in the order of the work.
func (a *api) parts() []part {
	return []part{
		{"Document", "What the API is.", a.document},
		{"Set-out", "Where to mark today, and the room sheet that it is worked out from.", a.sheets},
		{"Firm", "The firm, its people and its standard build-ups.", a.firms},
		{"Jobs", "Sites: begun, closed, followed by a client, and their diaries.", a.jobs},
		{"Lists", "What is read across rooms: who has to do what, and how far each room is.", a.lists},
		{"Rooms", "One room, whole or its own fields.", a.rooms},
		{"Surfaces", "Ceilings, walls and floors, what is measured from on them, and what goes on them.", a.surfaces},
		{"Timbers", "Joists, rafters and studs, and the cable runs through them.", a.timbers},
		{"Schedule", "How positions come onto a room's schedule.", a.schedule},
		{"Positions", "One place where something will come through a surface, with its tail.", a.positions},
		{"Measurements", "Readings: recorded, corrected, struck out.", a.measurements},
		{"Stages", "From first fix to decoration: as built, finished, offered, signed off, reopened.", a.stages},
		{"Holes", "The holes still to cut, what came of each, and its patch.", a.openings},
		{"Snags", "Faults to put right, and photos.", a.snags},
	}
}

// routes are all addresses of the API.
func (a *api) routes() {
	doc := a.huma.OpenAPI()
	for _, p := range a.parts() {
		doc.Tags = append(doc.Tags, &huma.Tag{Name: p.name, Description: p.says})
		a.tag = p.name
		p.add()
	}
}

// Who may ask, as a description says it. The table of acts and roles decides.
const (
	anybody = " Needs no session and no key."
	anyone  = " For everybody of the firm."
	onSite  = " For people who work on site."
	runJobs = " For the foreman and the owner."
)

// What several operations do alike.
const (
	newID   = " The id is yours to make: the same request once more gives the same answer and adds nothing."
	needTag = " Send the ETag of the record that you saw as If-Match; 412 shows both versions."
	reopens = " Where signed stages would open again by it, it is refused with 409 unless reopen is true."
	asIs    = " Answers with the stages as they stand then."
)

// describes says of each operation, by its id, what it is for, what it does
// beside that, and who may ask.
var describes = map[string]string{
	"document": "The OpenAPI document of this server, version 3.1." + anybody,

	"setOut":     "Nothing is saved and nothing is looked up. Too many at once are answered with 429." + anybody,
	"roomSetOut": "Each position's place from today's faces, and the chance of missing its tail." + onSite,
	"exportRoom": "Can be kept as a file, sent to setOut, or brought into another job." + onSite,
	"importRoom": "Positions, datums, timbers and readings come with it; stages begin at first fix." + newID + runJobs,

	"me":          "Name, role and trade, and the firm with its time zone." + anyone,
	"members":     "With the days between which each belongs to the firm; those who left come last." + onSite,
	"buildUps":    "The layers that the firm usually puts on, by name, to plan faces with." + onSite,
	"saveBuildUp": "What is planned already in rooms stays as it is." + newID + runJobs,

	"jobs":      "Those on which the person who asks may work. Closed jobs are found by search." + onSite,
	"addJob":    "Its diary begins with it." + newID + runJobs,
	"job":       "With its version as ETag." + onSite,
	"changeJob": "What is left out stays." + needTag + runJobs,
	"removeJob": "One with a room, or whose diary says more than that it began, stays: close it." + runJobs,
	"stillOpen": "What would be named in the diary if the job were closed now." + onSite,
	"closeJob":  "It is read as before. Something unfinished is refused with 422 unless anyway is true." + runJobs,
	"reopenJob": "Records are taken again. One that is open stays as it is." + runJobs,
	"addRoom": "Walls, an outline and heights give the surfaces; each wall becomes a face to measure from." + newID +
		runJobs,
	"copyRoom": "Its outline, surfaces, datums and planned layers; schedule and timbers if asked for." + newID +
		runJobs,
	"diary":         "In order, each entry chained to the one before by its hash." + onSite,
	"clientLink":    "Shown this once; whoever has it sees progress without names and measurements." + runJobs,
	"endClientLink": "Whoever has the link sees nothing from then on." + runJobs,

	"jobSheet": "Each room with its five stages, who has something to do in it, and the one thing next." + onSite,
	"progress": "No names, no measurements, no mistakes. The link is the key; it needs no session and no other key.",
	"search":   "Each word has to be in the name of the thing or of where it is." + onSite,
	"overview": "As jobSheet, for all of them at once." + onSite,
	"tasks":    "Worked out from the stages; rooms in which there is nothing are left out." + onSite,
	"ready":    "Rooms in which the person's own trade can begin, and since when." + onSite,

	"room":       "With its version as ETag." + onSite,
	"changeRoom": "What is left out stays." + needTag + runJobs,
	"removeRoom": "Whatever is recorded in it keeps it: that is refused with 422 and named." + runJobs,
	"record": "Drawing, schedule, readings, stages with their obstacles, holes, snags and photos in one answer." +
		onSite,

	"addSurface":  "A wall takes its outline from the room's." + newID + runJobs,
	"addDatum":    "A face, a line or a point of a surface." + newID + onSite,
	"removeDatum": "One that something was measured from stays." + asIs + runJobs,
	"staysBare":   "A face on which nothing will go needs no build-up for first fix." + asIs + runJobs,
	"planBuildUp": "Offsets are corrected by the layers; one wall has one plan, in whatever place it is drawn." + runJobs,

	"addTimbers":   "Each is a line along its centre, with its width." + newID + onSite,
	"removeTimber": "Its holes' chances are worked out anew." + asIs + onSite,
	"addWay":       "Answers with the cautions of each timber that it crosses." + newID + onSite,
	"removeWay":    "The timbers stay." + asIs + onSite,
	"joistLimits":  "Guidance with its source; local codes and an engineer decide." + onSite,
	"joists":       "Change what you like and send the list to addTimbers." + onSite,

	"schedule":      "Up to 500 at a time, all or none." + newID + reopens + runJobs,
	"pasteSchedule": "All lines or none; what is wrong is named by its line." + newID + reopens + runJobs,
	"copySchedule":  "Where they are wanted comes along, readings do not." + newID + reopens + runJobs,
	"grid":          "Change what you like and send the list to schedule." + onSite,

	"position":       "With what the geometry says of it, and its version as ETag." + onSite,
	"changePosition": "The whole of it is sent; first fix must not be signed off." + needTag + runJobs,
	"hold":           "Second fix waits until it is released or left out." + needTag + runJobs,
	"release":        "Its hole is listed again as soon as it may be cut." + needTag + runJobs,
	"omit": "It needs no record and no hole from then on; what was recorded stays. Where second fix is signed off this " +
		"opens it again, and what follows: say reopen." + needTag + runJobs,
	"wantAgain": "Where first fix is signed off this opens it again, and what follows: say reopen." + needTag + runJobs,
	"seeTail":   "By name, before boarding is signed off." + asIs + onSite,
	"unseeTail": "Boarding waits for it again." + asIs + onSite,

	"measure": "It says its datum and the state that the datum was in. Further readings add; none replaces." + newID +
		onSite,
	"measurement": "With how it fits the others, and its version as ETag." + onSite,
	"correct":     "The diary keeps what it said before." + needTag + onSite,
	"strike":      "The reason stays with it." + needTag + onSite,

	"putOn":    "Thicknesses or spans across the room; offsets are corrected by them." + newID + onSite,
	"finish":   "Once more with another day puts it right; no day to come." + asIs + onSite,
	"offer":    "Says that its work is done; the foreman looks at it next." + asIs + onSite,
	"signOff":  "Hard obstacles are refused with 422, a room that moved on since it was read with 409." + asIs + runJobs,
	"reopen":   "The reason goes into the diary." + asIs + runJobs,
	"signOffs": "Stages that were opened again since, too, and the reasons for what was accepted." + onSite,

	"holes": "Isolate, prove dead and look for asbestos before cutting; local codes and licensed practice decide." +
		onSite,
	"openHole": "Found, hooked out, not found, or on timber. What it shows corrects the holes that follow." + newID +
		asIs +
		onSite,
	"correctOutcome": "The diary keeps what it said before." + asIs + onSite,
	"owePatch":       "Decoration waits until it is filled and dry." + asIs + onSite,
	"fillPatch":      "A day to dry is reckoned unless dryPatch says otherwise." + asIs + onSite,
	"unfillPatch":    "Decoration waits for it again." + asIs + onSite,
	"dryPatch":       "Whoever says so has felt it." + asIs + onSite,

	"photo":      "Without the picture itself, which a page sends." + newID + asIs + onSite,
	"noteSnag":   "Decoration waits until it is closed." + newID + asIs + onSite,
	"closeSnag":  "The trade's word first, then the foreman's." + asIs + onSite,
	"giveSnag":   "What is left out is nobody's, and on no day." + asIs + runJobs,
	"reopenSnag": "It is on somebody's list again." + asIs + runJobs,
}
