package kit

import "github.com/labstack/echo/v4"

const costKey = "lathmark.cost"

// Cost says of a request that it cost as much as so many more.
func Cost(c echo.Context, more int) { c.Set(costKey, more) }

// CostOf returns what Cost said.
func CostOf(c echo.Context) int {
	more, _ := c.Get(costKey).(int)
	return more
}
