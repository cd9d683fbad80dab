package server

import (
	"lathmark/server/auth"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// routes are all addresses there are. Pages read them from web.Place, which
// the pages' links and forms come from too.
func (s *server) routes(e *echo.Echo) {
	e.GET("/healthz", health)
	e.GET("/readyz", s.ready)
	e.GET("/static/*", static)

	open := e.Group("", s.sessions.Read)
	p := s.pages
	open.GET(web.SignInPath, p.SignIn)
	open.POST(web.SignInPath, p.ComeIn)
	open.POST(web.SignOutPath, p.SignOut)

	in := open.Group("", auth.Need)
	job := web.Place{Job: ":job"}
	in.GET(web.Home, p.Dashboard)
	in.GET(web.NewJobPath, p.NewJob)
	in.POST(web.NewJobPath, p.AddJob)
	in.GET(job.JobPage(), p.JobPage)
	in.POST(job.ProgressLink(), p.ProgressLink)
	in.GET(job.NewRoom(), p.NewRoom)
	in.POST(job.NewRoom(), p.AddRoom)
}
