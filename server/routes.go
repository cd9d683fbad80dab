package server

import (
	"lathmark/domain/deed"
	"lathmark/server/api"
	"lathmark/server/auth"
	"lathmark/server/live"
	"lathmark/server/page/door"
	"lathmark/server/page/draw"
	"lathmark/server/page/jobs"
	"lathmark/server/page/kit"
	"lathmark/server/page/office"
	"lathmark/server/page/phone"
	"lathmark/server/page/programme"
	"lathmark/server/page/visits"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// routes registers all routes. They come from web.Place, like the pages' links
// and forms.
func (s *server) routes(e *echo.Echo) {
	e.GET("/healthz", health)
	e.GET("/readyz", s.ready)
	e.GET("/robots.txt", robots)
	e.GET("/.well-known/*", nothing)
	e.GET("/static/*", static)
	e.GET(web.WorkerPath, file(web.Worker))
	e.GET(web.ManifestPath, file(web.Manifest))

	api.Mount(e, e.Group("", s.sessions.ReadKey, s.surely), api.Services{Firm: s.Firm, Job: s.Job, Desk: s.Desk,
		Book: s.Book, Diary: s.Diary, Turns: s.desk.Turns}, Status)

	open := e.Group("", s.sessions.Read)
	d := s.desk
	door, office, jobs := door.Pages{House: d}, office.Pages{House: d}, jobs.Pages{House: d}
	when := programme.Pages{House: d}
	draw, visit, phone := draw.Pages{House: d}, visits.Pages{House: d}, phone.Pages{House: d}
	open.GET(web.SignInPath, door.SignIn)
	open.POST(web.SignInPath, door.ComeIn)
	open.POST(web.SignOutPath, door.SignOut)
	open.GET(web.OneTimeLinkPath+":token", door.Link)
	open.POST(web.OneTimeLinkPath+":token", door.UseLink)
	open.POST(web.ProviderSignInPath+":provider", door.With)
	open.GET(web.ProviderReturnPath+":provider", door.Back)
	open.POST(web.ProviderLogoutPath+":provider", door.WentOut)
	open.POST(web.ChooseFirmPath, door.ChooseFirm)
	open.POST(web.PasskeySignInBeginPath, door.AskPasskey)
	open.POST(web.PasskeySignInPath, door.ComeWithPasskey)
	open.GET(web.InvitedPath+":token", door.Invited)
	open.POST(web.InvitedPath+":token", door.Join)
	open.GET(web.ProgressPath+":link", jobs.Progress)
	open.GET(web.VisitsLinkPath+":link", when.ByLink)
	open.POST(web.VisitsLinkPath+":link/coming", when.ComeByLink)
	open.POST(web.VisitsLinkPath+":link/away", when.CantByLink)
	open.POST(web.VisitsLinkPath+":link/back", when.BackByLink)
	open.GET(web.FeedPath+":link"+web.FeedFile, when.Feed)

	in := open.Group("", auth.Need, s.surely)
	kept := drawnOnce{s, in}
	form := func(path string, p kit.Pair) { in.GET(path, p.Get); in.POST(path, p.Post) }
	keptForm := func(path string, p kit.Pair) { kept.GET(path, p.Get); in.POST(path, p.Post) }
	kept.GET(web.Home, jobs.Dashboard)
	kept.GET(web.TasksPath, jobs.Tasks)
	kept.GET(web.ReadyPath, jobs.Ready)
	in.GET(web.LivePath, live.NewStreams(s.Live, s.Diary, s.sessions).Listen)
	kept.GET(web.VisitsPath, jobs.Visits)
	in.GET(web.CopyPath, phone.Copy)
	in.GET(web.SearchPath, jobs.Search)
	form(web.BuildUpsPath, office.BuildUps())
	in.GET(web.SessionsPath, office.Sessions)
	in.GET(web.OwnDataPath, office.OwnData)
	in.POST(web.EndSession(":session"), office.EndSession)
	in.POST(web.OthersPath, office.EndOthers)
	in.POST(web.DevicePath, office.AnotherDevice)
	in.GET(web.SignInAgainPath, signAgain)
	in.POST(web.PasskeyBeginPath, office.OfferPasskey)
	in.POST(web.PasskeysPath, office.AddPasskey)
	in.POST(web.EndPasskey(":passkey"), office.EndPasskey)
	form(web.KeysPath, office.Keys())
	in.POST(web.EndKey(":key"), office.EndKey)

	// The firm and its people.
	form(web.FirmPath, office.FirmSettings())
	form(web.PeoplePath, office.People())
	in.POST(web.TakeBack(":invitation"), office.TakeBackCode)
	who := web.PersonAt(":member")
	form(who.Page(), office.Member())
	in.POST(who.Link(), office.OneTimeLink)
	in.POST(who.SignOut(), office.SignPersonOut)
	in.POST(who.LetGo(), office.LetGo)
	in.GET(who.Data(), office.DataOf)
	in.POST(who.Forget(), office.Forget)
	in.POST(who.EndSession(":session"), office.EndSessionOf)
	in.POST(who.EndKey(":key"), office.EndKeyOf)
	in.POST(who.EndPasskey(":passkey"), office.EndPasskeyOf)

	// Who comes when.
	in.GET(web.ProgrammePath, when.Chart)
	form(web.MovePath, when.Move())
	in.POST(web.UnpinPath, when.Unpin)
	form(web.WeekPath, when.Week())
	form(web.RatesPath, when.Rates())
	form(web.CrewsPath, when.Crews())
	form(web.CrewPage(":crew"), when.Crew())
	in.POST(web.EndCrew(":crew"), when.EndCrew)
	in.POST(web.CrewAway(":crew"), when.CrewAway())
	in.POST(web.CrewLink(":crew"), when.CrewLink)
	in.POST(web.EndCrewLink(":crew"), when.EndCrewLink)
	in.POST(web.BackAgain(":away"), when.BackAgain)
	in.GET(web.NextWeeks, when.Mine)
	in.POST(web.ComingPath, when.Come)
	in.POST(web.CantPath, when.Cant())
	in.POST(web.BackPath, when.Back)
	in.GET(web.CalendarPath, when.Calendar)
	in.POST(web.CalendarPath, when.MakeCalendar)
	in.POST(web.EndCalendarPath, when.EndCalendar)

	// A job.
	at := web.Place{Job: ":job"}
	form(web.NewJobPath, jobs.NewJob())
	in.GET(at.JobPage(), jobs.JobPage)
	form(at.Rename(), jobs.JobName())
	in.POST(at.Remove(), jobs.RemoveJob)
	form(at.CloseJob(), jobs.Closing())
	in.POST(at.ReopenJob(), jobs.ReopenJob)
	in.GET(at.Diary(), jobs.Diary)
	form(at.Invite(), jobs.Invite())
	in.POST(at.TakeBack(":invitation"), jobs.TakeBack)
	in.POST(at.ProgressLink(), jobs.ProgressLink)
	form(at.Team(), jobs.Team())
	in.POST(at.OffTeam(":member"), jobs.OffJob)
	in.POST(at.RenewLink(), jobs.RenewLink)
	in.POST(at.EndLink(), jobs.EndLink)
	form(at.Promises(), when.Promises())
	form(at.GiveInstead(":promise"), when.GiveInstead())
	form(at.Owed(), when.Owed())
	in.POST(at.Came(":owed"), when.Came)
	in.POST(at.DropOwed(":owed"), when.DropOwed)
	in.POST(at.Through(":room"), when.Through)
	form(at.NewRoom(), draw.NewRoom())
	in.POST(at.CopyRoom(), draw.CopyRoom())
	form(at.ImportRoom(), draw.ImportRoom())

	// A room with what is drawn of it, and its schedule.
	at = web.Place{Room: ":room"}
	kept.GET(at.RoomPage(), draw.RoomPage)
	form(at.Rename(), jobs.RoomName())
	in.POST(at.Remove(), jobs.RemoveRoom)
	in.GET(at.RoomSheet(), draw.RoomSheet)
	in.GET(at.Sums(), draw.Sums)
	form(at.NewSurface(), draw.NewSurface())
	keptForm(at.Surface(":surface"), draw.Surface())
	form(at.NewDatum(":surface"), draw.NewDatum())
	form(at.Datum(":datum"), draw.Datum())
	in.POST(at.RemoveDatum(":datum"), draw.RemoveDatum)
	form(at.BuildUp(":datum"), draw.BuildUp())
	form(at.Timbers(":surface"), draw.Timbers())
	in.POST(at.RemoveTimber(":timber"), draw.RemoveTimber)
	in.POST(at.Ways(":surface"), draw.AddWay())
	in.POST(at.RemoveWay(":way"), draw.RemoveWay)
	in.GET(at.Schedule(), draw.GetSchedule)
	in.POST(at.Schedule(), draw.AddPosition())
	in.POST(at.AddLines(), draw.AddLines())
	in.POST(at.AddSpaced(), draw.AddSpaced())
	in.GET(at.CopySchedule(), draw.GetCopySchedule)
	in.POST(at.CopySchedule(), draw.CopySchedule)
	in.POST(at.MoveOff(), draw.MoveOff)
	keptForm(at.Position(":position"), draw.Position())
	keptForm(at.Hold(":position"), draw.Hold())
	in.POST(at.Omit(":position"), draw.Omit())
	in.POST(at.Release(":position"), draw.Release())
	in.POST(at.WantAgain(":position"), draw.WantAgain())

	// What a visit leaves behind.
	kept.GET(at.Measure(), visit.Measure)
	kept.GET(at.Reading(":reading"), d.Get(visits.Reading))
	kept.GET(at.Tails(), d.Get(visits.Tails))
	kept.GET(at.Photos(), d.Get(visits.Photos))
	in.POST(at.Photos(), visit.TakePhoto)
	in.POST(at.StrikePhoto(":photo"), d.Do(visits.StrikePhoto))
	in.GET(web.Picture(":photo", ":size"), visit.Picture)
	kept.GET(at.AsBuilt(), d.Get(visits.AsBuilt))
	kept.GET(at.Finished(), d.Get(visits.Finished))
	kept.GET(at.SetOut(), d.Get(visits.SetOut))
	kept.GET(at.Holes(), d.Get(visits.Holes))
	kept.GET(at.Outcome(":position"), d.Get(visits.Outcome))
	kept.GET(at.Patches(), d.Get(visits.Patches))
	kept.GET(at.Snags(), d.Get(visits.Snags))
	in.POST(at.SnagGiven(":snag"), d.Do(visits.GiveSnag))
	in.POST(at.SnagAgain(":snag"), d.Do(visits.ReopenSnag))
	for kind, post := range visits.Posts {
		in.POST(at.RoomPage()+"/"+deed.Kinds[kind].At, d.Do(post))
	}

	in.POST(web.ActsPath, phone.Acts)
	in.POST(web.ChoosePath(":act"), phone.Choose)

	// A room's stages.
	kept.GET(at.Gate(":stage"), visit.Gate)
	in.POST(at.SignOff(":stage"), visit.SignOff)
	kept.GET(at.Reopen(":stage"), d.Get(visits.Reopen))
	in.POST(at.Reopen(":stage"), d.Do(visits.OpenAgain))
}
