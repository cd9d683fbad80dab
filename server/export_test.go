package server

import (
	"net/http"

	"github.com/labstack/echo/v4"
)

// Routes returns the routes of a handler that New made.
func Routes(h http.Handler) []*echo.Route { return h.(*echo.Echo).Routes() }
