package server

import (
	"lathmark/server/api"
	"lathmark/server/auth"
	"lathmark/server/live"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// routes are all addresses there are. Pages read them from web.Place, which
// the pages' links and forms come from too.
func (s *server) routes(e *echo.Echo) {
	e.GET("/healthz", health)
	e.GET("/readyz", s.ready)
	e.GET("/static/*", static)
	e.GET(web.WorkerPath, file(web.Worker))
	e.GET(web.ManifestPath, file(web.Manifest))

	api.Mount(e, e.Group("", s.sessions.ReadKey), api.Services{Firm: s.Firm, Job: s.Job, Room: s.Room, Stage: s.Stage, Diary: s.Diary, Photo: s.Photo}, Status)

	open := e.Group("", s.sessions.Read)
	p := s.pages
	open.GET(web.SignInPath, p.SignIn)
	open.POST(web.SignInPath, p.ComeIn)
	open.POST(web.SignOutPath, p.SignOut)
	open.GET(web.ComeInPath+":token", p.Link)
	open.POST(web.ComeInPath+":token", p.UseLink)
	open.GET(web.ComeWithPath+":provider", p.With)
	open.GET(web.ComeBackPath+":provider", p.Back)
	open.POST(web.WentOutPath+":provider", p.WentOut)
	open.POST(web.ChooseFirmPath, p.ChooseFirm)
	open.GET(web.InvitedPath+":token", p.Invited)
	open.POST(web.InvitedPath+":token", p.Join)
	open.GET(web.ProgressPath+":link", p.Progress)

	in := open.Group("", auth.Need)
	in.GET(web.Home, p.Dashboard)
	in.GET(web.TasksPath, p.Tasks)
	in.GET(web.ReadyPath, p.Ready)
	in.GET(web.LivePath, live.NewStreams(s.Live, s.Diary, s.sessions).Listen)
	in.GET(web.VisitsPath, p.Visits)
	in.GET(web.CopyPath, p.Copy)
	in.GET(web.BuildUpsPath, p.BuildUps)
	in.POST(web.BuildUpsPath, p.AddBuildUp)
	in.GET(web.SessionsPath, p.Sessions)
	in.POST(web.EndSession(":session"), p.EndSession)
	in.POST(web.OthersPath, p.EndOthers)
	in.POST(web.DevicePath, p.AnotherDevice)
	in.GET(web.KeysPath, p.Keys)
	in.POST(web.KeysPath, p.MakeKey)
	in.POST(web.EndKey(":key"), p.EndKey)

	// The firm and its people.
	in.GET(web.FirmPath, p.FirmSettings)
	in.POST(web.FirmPath, p.SetLimits)
	in.GET(web.PeoplePath, p.People)
	in.POST(web.PeoplePath, p.AddPerson)
	in.GET(web.PersonPage(":member"), p.Member)
	in.POST(web.PersonPage(":member"), p.ChangePerson)
	in.POST(web.OneTimeLink(":member"), p.OneTimeLink)
	in.POST(web.EndWaysIn(":member"), p.SignPersonOut)
	in.POST(web.LetGo(":member"), p.LetGo)
	in.POST(web.EndSessionOf(":member", ":session"), p.EndSessionOf)
	in.POST(web.EndKeyOf(":member", ":key"), p.EndKeyOf)

	// A job.
	at := web.Place{Job: ":job"}
	in.GET(web.NewJobPath, p.NewJob)
	in.POST(web.NewJobPath, p.AddJob)
	in.GET(at.JobPage(), p.JobPage)
	in.GET(at.Diary(), p.Diary)
	in.GET(at.Invite(), p.Invite)
	in.POST(at.Invite(), p.AskIn)
	in.POST(at.TakeBack(":invitation"), p.TakeBack)
	in.POST(at.ProgressLink(), p.ProgressLink)
	in.GET(at.Team(), p.Team)
	in.POST(at.Team(), p.OntoJob)
	in.POST(at.OffTeam(":member"), p.OffJob)
	in.POST(at.RenewLink(), p.RenewLink)
	in.POST(at.EndLink(), p.EndLink)
	in.GET(at.NewRoom(), p.NewRoom)
	in.POST(at.NewRoom(), p.AddRoom)
	in.GET(at.ImportRoom(), p.ImportRoom)
	in.POST(at.ImportRoom(), p.TakeRoom)

	// A room with what is drawn of it, and its schedule.
	at = web.Place{Room: ":room"}
	in.GET(at.RoomPage(), p.RoomPage)
	in.GET(at.RoomSheet(), p.RoomSheet)
	in.GET(at.Sums(), p.Sums)
	in.GET(at.NewSurface(), p.NewSurface)
	in.POST(at.NewSurface(), p.AddSurface)
	in.GET(at.Surface(":surface"), p.Surface)
	in.POST(at.Surface(":surface"), p.ChangeSurface)
	in.GET(at.NewDatum(":surface"), p.NewDatum)
	in.POST(at.NewDatum(":surface"), p.AddDatum)
	in.GET(at.Datum(":datum"), p.Datum)
	in.POST(at.Datum(":datum"), p.ChangeDatum)
	in.POST(at.RemoveDatum(":datum"), p.RemoveDatum)
	in.GET(at.BuildUp(":datum"), p.BuildUp)
	in.POST(at.BuildUp(":datum"), p.PlanBuildUp)
	in.GET(at.Timbers(":surface"), p.Timbers)
	in.POST(at.Timbers(":surface"), p.AddTimbers)
	in.POST(at.RemoveTimber(":timber"), p.RemoveTimber)
	in.POST(at.Ways(":surface"), p.AddWay)
	in.POST(at.RemoveWay(":way"), p.RemoveWay)
	in.GET(at.Schedule(), p.Schedule)
	in.POST(at.Schedule(), p.AddPosition)
	in.POST(at.AddLines(), p.AddLines)
	in.POST(at.AddSpaced(), p.AddSpaced)
	in.POST(at.MoveOff(), p.MoveOff)
	in.GET(at.Position(":position"), p.Position)
	in.POST(at.Position(":position"), p.ChangePosition)
	in.GET(at.Hold(":position"), p.Hold)
	in.POST(at.Hold(":position"), p.HoldIt)
	in.POST(at.Omit(":position"), p.Omit)
	in.POST(at.Release(":position"), p.Release)
	in.POST(at.WantAgain(":position"), p.WantAgain)

	// What a visit leaves behind.
	in.GET(at.Measure(), p.Measure)
	in.POST(at.Measure(), p.Record)
	in.GET(at.Reading(":reading"), p.Reading)
	in.POST(at.Reading(":reading"), p.Correct)
	in.POST(at.StrikeReading(":reading"), p.Strike)
	in.GET(at.Tails(), p.Tails)
	in.GET(at.Photos(), p.Photos)
	in.POST(at.Photos(), p.TakePhoto)
	in.POST(at.StrikePhoto(":photo"), p.StrikePhoto)
	in.GET(web.Picture(":photo", ":size"), p.Picture)
	in.POST(at.Tails(), p.SeeTails)
	in.GET(at.AsBuilt(), p.AsBuilt)
	in.POST(at.AsBuilt(), p.PutOn)
	in.GET(at.Finished(), p.Finished)
	in.POST(at.Finished(), p.Finish)
	in.GET(at.SetOut(), p.SetOut)
	in.GET(at.Holes(), p.Holes)
	in.GET(at.Outcome(":position"), p.Outcome)
	in.POST(at.Outcome(":position"), p.Open)
	in.GET(at.Patches(), p.Patches)
	in.POST(at.Patches(), p.OwePatch)
	in.POST(at.PatchFilled(":opening"), p.PatchFilled)
	in.POST(at.PatchDry(":opening"), p.PatchDry)
	in.GET(at.Snags(), p.Snags)
	in.POST(at.Snags(), p.NoteSnag)
	in.POST(at.SnagDone(":snag"), p.SnagDone)

	in.POST(web.ActsPath, p.Acts)
	in.POST(web.ChoosePath(":act"), p.Choose)

	// A room's stages.
	in.GET(at.Gate(":stage"), p.Gate)
	in.POST(at.Offer(":stage"), p.Offer)
	in.POST(at.SignOff(":stage"), p.SignOff)
	in.GET(at.Reopen(":stage"), p.Reopen)
	in.POST(at.Reopen(":stage"), p.OpenAgain)
}
