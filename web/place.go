package web

import (
	"net/url"

	"lathmark/domain/deed"
)

// Place is a page's place. Its methods give every address, so that pages and
// the router cannot disagree: with ":job" and ":room" for ids the same methods
// give the router's patterns.
type Place struct {
	Job  string // id of the job, "" outside jobs
	Room string // id of the room, "" outside rooms
}

// Addresses that need no job and no room.
const (
	Home            = "/"
	SignInPath      = "/sign-in"
	SignOutPath     = "/sign-out"
	OneTimeLinkPath = "/in/" // followed by the link's secret
	// Followed by a provider's id: to the provider, back from it, and its
	// message (POST) that somebody signed out there.
	ProviderSignInPath = "/sign-in/with/"
	ProviderReturnPath = "/sign-in/back/"
	ProviderLogoutPath = "/sign-in/out/"
	// ChooseFirmPath is the address at which a POST chooses one of several
	// firms to sign in to.
	ChooseFirmPath = "/sign-in/firm"
	TasksPath      = "/tasks"
	ReadyPath      = "/ready"
	VisitsPath     = "/visits"
	CopyPath       = "/visits/copy" // the pages of a visit, for the phone to keep
	BuildUpsPath   = "/build-ups"
	LivePath       = "/live"
	NewJobPath     = "/jobs/new"
	SearchPath     = "/search"
	SessionsPath   = "/sessions"
	OwnDataPath    = "/sessions/data"   // everything held about oneself, as one file
	OthersPath     = "/sessions/others" // a POST ends all of one's other sessions
	KeysPath       = "/keys"
	// DevicePath is the address at which a POST makes a code that signs oneself
	// in on another device.
	DevicePath = "/sessions/device"
	// Passkeys: scripts POST to begin and to finish adding one, and to begin
	// and to finish signing in with one.
	PasskeyBeginPath       = "/passkeys/begin"
	PasskeysPath           = "/passkeys"
	PasskeySignInBeginPath = "/sign-in/passkey/begin"
	PasskeySignInPath      = "/sign-in/passkey"
	// SignInAgainPath asks somebody who is signed in who they are.
	SignInAgainPath = "/sign-in/again"
	InvitedPath     = "/invited/"  // followed by the code\'s secret
	ProgressPath    = "/progress/" // followed by the link's secret
	// WorkerPath is at the root, so that the worker controls every page.
	WorkerPath   = "/worker.js"
	ManifestPath = "/manifest.webmanifest"
)

// EndSession is where a POST ends one of one's own sessions.
func EndSession(id string) string { return SessionsPath + "/" + part(id) + "/end" }

// EndKey is where a POST deletes one of one's own keys.
func EndKey(id string) string { return KeysPath + "/" + part(id) + "/end" }

// EndPasskey is where a POST deletes one of one's own passkeys.
func EndPasskey(id string) string { return PasskeysPath + "/" + part(id) + "/end" }

// JobPage is the address of the job's own page.
func (p Place) JobPage() string { return "/jobs/" + part(p.Job) }

// CloseJob is the address that lists what is still open in the job, and at
// which a POST closes it.
func (p Place) CloseJob() string { return p.JobPage() + "/close" }

// ReopenJob is where a POST opens a closed job again.
func (p Place) ReopenJob() string { return p.JobPage() + "/reopen" }

// Promises is the address of the days that were promised on the job.
func (p Place) Promises() string { return p.JobPage() + "/promises" }

// Owed is the address of what has to arrive or to be decided in the job.
func (p Place) Owed() string { return p.JobPage() + "/owed" }

// Rename is the address of the form for the name of the room, or else of the
// job.
func (p Place) Rename() string { return p.page() + "/name" }

// Remove is where a POST removes the room, or else the job, if nothing is
// recorded.
func (p Place) Remove() string { return p.page() + "/remove" }

func (p Place) page() string {
	if p.Room == "" {
		return p.JobPage()
	}
	return p.RoomPage()
}

// Diary is the address of the diary of the job.
func (p Place) Diary() string { return p.JobPage() + "/diary" }

// Invite is the address of the page of codes that people join the job with.
func (p Place) Invite() string { return p.JobPage() + "/invite" }

// TakeBack is where a POST revokes a code.
func (p Place) TakeBack(code string) string { return p.Invite() + "/" + part(code) + "/take-back" }

// ProgressLink is where a POST makes a fresh private link for the client.
func (p Place) ProgressLink() string { return p.JobPage() + "/progress-link" }

// RenewLink is where a POST renews the client's link.
func (p Place) RenewLink() string { return p.ProgressLink() + "/renew" }

// EndLink is where a POST closes the client's view.
func (p Place) EndLink() string { return p.ProgressLink() + "/end" }

// NewRoom is the address of the form for one more room of the job.
func (p Place) NewRoom() string { return p.JobPage() + "/rooms/new" }

// CopyRoom is where a POST makes a room of the job as a copy of another.
func (p Place) CopyRoom() string { return p.JobPage() + "/rooms/copy" }

// CopySchedule is the form that puts the positions of another room on the schedule.
func (p Place) CopySchedule() string { return p.Schedule() + "/copy" }

// ImportRoom is the address of the form that imports a room sheet as a new room
// of the job.
func (p Place) ImportRoom() string { return p.JobPage() + "/rooms/import" }

// RoomPage is the address of the room's own page.
func (p Place) RoomPage() string { return "/rooms/" + part(p.Room) }

// RoomSheet is the address of the room as a room sheet, for download.
func (p Place) RoomSheet() string { return p.RoomPage() + "/sheet.json" }

// Sums is the address of the room as a phone keeps it for its sums.
func (p Place) Sums() string { return p.RoomPage() + "/sums.json" }

// NewSurface is the address of the form for one more surface.
func (p Place) NewSurface() string { return p.RoomPage() + "/surfaces/new" }

// Surface is the address of the form of one surface.
func (p Place) Surface(id string) string { return p.RoomPage() + "/surfaces/" + part(id) }

// NewDatum is the address of the form for one more datum of a surface.
func (p Place) NewDatum(surface string) string { return p.Surface(surface) + "/datums/new" }

// RemoveDatum is where a POST removes an unused datum from an open record.
func (p Place) RemoveDatum(id string) string { return p.Datum(id) + "/remove" }

// Datum is the address of the form of one datum.
func (p Place) Datum(id string) string { return p.RoomPage() + "/datums/" + part(id) }

// BuildUp is the address of the form of the planned build-up of one datum.
func (p Place) BuildUp(datum string) string { return p.Datum(datum) + "/build-up" }

// Timbers is the address of the form for more timbers of a surface.
func (p Place) Timbers(surface string) string { return p.Surface(surface) + "/timbers" }

// RemoveTimber is where a POST removes a timber from an open record.
func (p Place) RemoveTimber(id string) string {
	return p.RoomPage() + "/timbers/" + part(id) + "/remove"
}

// Ways is where a POST adds a cable run through the timbers of a surface.
func (p Place) Ways(surface string) string { return p.Surface(surface) + "/ways" }

// RemoveWay is where a POST removes a cable run from an open record.
func (p Place) RemoveWay(id string) string { return p.RoomPage() + "/ways/" + part(id) + "/remove" }

// Schedule is the address of the list of positions with the forms that add to
// it.
func (p Place) Schedule() string { return p.RoomPage() + "/schedule" }

// NearTimber is the address of what the schedule says of a position that is on or near a timber.
func (p Place) NearTimber(name string) string { return p.Schedule() + "#" + NearAnchor(name) }

// NearAnchor is the anchor of a position's line among those near a timber.
func NearAnchor(name string) string { return "near-" + url.PathEscape(name) }

// AddLines is where a POST adds positions pasted as lines.
func (p Place) AddLines() string { return p.Schedule() + "/lines" }

// AddSpaced is where a POST adds positions spaced in rows and columns.
func (p Place) AddSpaced() string { return p.Schedule() + "/spaced" }

// MoveOff is where a POST moves spaced positions off the timbers.
func (p Place) MoveOff() string { return p.Schedule() + "/move-off" }

// Position is the address of the form of one position of the schedule.
func (p Place) Position(id string) string { return p.RoomPage() + "/positions/" + part(id) }

// Hold is the address of the form that holds, releases or omits a position.
func (p Place) Hold(position string) string { return p.Position(position) + "/hold" }

// Omit is where a POST records that the client does not want a position.
func (p Place) Omit(position string) string { return p.Position(position) + "/omit" }

// Release is where a POST releases a held position.
func (p Place) Release(position string) string { return p.Position(position) + "/release" }

// WantAgain is where a POST restores an omitted position.
func (p Place) WantAgain(position string) string { return p.Position(position) + "/want-again" }

// Outcome is the address of the form for what was behind the hole of a
// position.
func (p Place) Outcome(position string) string { return p.Position(position) + "/outcome" }

// Measure is the address of the form for a measurement.
func (p Place) Measure() string { return p.RoomPage() + "/measure" }

// MeasureAt is the address of that form with a position already chosen.
func (p Place) MeasureAt(position string) string {
	return p.Measure() + "?position=" + url.QueryEscape(position)
}

// Reading is the address of the form that corrects one reading.
func (p Place) Reading(id string) string { return p.RoomPage() + "/readings/" + part(id) }

// Tails is the address of the list of tails to be seen free.
func (p Place) Tails() string { return p.RoomPage() + "/tails" }

// Photos is the address of the photos of the room, at which a POST adds one.
func (p Place) Photos() string { return p.RoomPage() + "/photos" }

// StrikePhoto is where a POST strikes a photo out, with a reason.
func (p Place) StrikePhoto(id string) string { return p.Photos() + "/" + part(id) + "/strike" }

// Picture is the address of a photo's picture in a size: full, page or thumb.
func Picture(photo, size string) string { return "/photos/" + part(photo) + "/" + part(size) }

// AsBuilt is the address of the form for a build-up as it was put on.
func (p Place) AsBuilt() string { return p.RoomPage() + "/as-built" }

// Finished is the address of the form for the date a stage was finished.
func (p Place) Finished() string { return p.RoomPage() + "/finished" }

// Gate is the address of a stage of the room: its obstacles, and how it is
// offered and signed off. The stage is given in words joined by hyphens:
// "first-fix".
func (p Place) Gate(stage string) string { return p.RoomPage() + "/sign-offs/" + part(stage) }

// SignOff is where a POST signs a stage off.
func (p Place) SignOff(stage string) string { return p.Gate(stage) + "/sign-off" }

// Reopen is the address of the form that opens a signed stage again.
func (p Place) Reopen(stage string) string { return p.Gate(stage) + "/reopen" }

// Deed is where a POST does a deed of a kind that phones send too; one is the
// record or the stage that it is about.
func (p Place) Deed(kind deed.Kind, one string) string {
	return p.RoomPage() + "/" + deed.Kinds[kind].Below(part(one))
}

// SetOut is the address of the set-out sheet of the room.
func (p Place) SetOut() string { return p.RoomPage() + "/set-out" }

// Holes is the address of every hole still to be opened, one a screen.
func (p Place) Holes() string { return p.RoomPage() + "/holes" }

// Patches is the address of the list of patches of the room.
func (p Place) Patches() string { return p.RoomPage() + "/patches" }

// Snags is the address of the list of snags of the room.
func (p Place) Snags() string { return p.RoomPage() + "/snags" }

// SnagGiven is where a POST assigns a snag to another trade, person or day.
func (p Place) SnagGiven(id string) string { return p.Snags() + "/" + part(id) + "/given" }

// SnagAgain is where a POST opens a snag again.
func (p Place) SnagAgain(id string) string { return p.Snags() + "/" + part(id) + "/again" }

// part returns one escaped part of an address. A router's pattern (":room")
// stays as it is.
func part(id string) string {
	if len(id) > 1 && id[0] == ':' {
		return id
	}
	return url.PathEscape(id)
}
