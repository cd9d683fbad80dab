package programme

import (
	"bufio"
	_ "embed"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"lathmark/domain/fault"
)

// England is the region whose bank holidays come with the program: gov.uk's data file, as
// updated on 24 November 2025.
const England = "England and Wales"

//go:embed bank-holidays-england-wales.csv
var england string

// Holiday is a day on which a region does not work.
type Holiday struct {
	On   time.Time
	Name string // "Boxing Day" would be "boxing day"
}

// Holidays returns the bank holidays of a region that comes with the program; none of one
// that does not, which the caller reads from a file (ReadHolidays).
func Holidays(region string) []Holiday {
	if region != England {
		return nil
	}
	all, err := ReadHolidays(strings.NewReader(england))
	if err != nil {
		panic(err) // a test reads it
	}
	return all
}

// mostHolidays is more than any region has in forty years.
const mostHolidays = 1000

// ReadHolidays reads bank holidays: the line date,holiday,note, then a line to each, the
// date as 2026-12-25. Lines that begin with # and empty ones are passed over. Days are
// returned in order, each once. Faults: BadInput with a field for each line that is wrong.
func ReadHolidays(from io.Reader) (out []Holiday, err error) {
	var wrong fault.Fields
	head := false
	in := bufio.NewScanner(from)
	for n := 1; in.Scan() && n <= 2*mostHolidays; n++ {
		line := strings.TrimSpace(strings.TrimPrefix(in.Text(), "\ufeff"))
		path := fmt.Sprintf("line %d", n)
		switch {
		case line == "" || line[0] == '#':
		case !head:
			head = true
			wrong.If(!strings.HasPrefix(line, "date,holiday"), path, "the first line does not name the columns",
				"Begin with date,holiday,note")
		default:
			h := readHoliday(&wrong, path, line)
			out = append(out, h)
		}
	}
	wrong.If(in.Err() != nil, "file", "a line is too long", "Give one day a line")
	wrong.If(len(out) == 0, "file", "there is no day in it", "Give a line to each, as 2026-12-25,christmas,")
	wrong.If(len(out) > mostHolidays, "file", fmt.Sprintf("there are more than %d days in it", mostHolidays),
		"Give those of the next years")
	if err := wrong.Err("These bank holidays can't be read."); err != nil {
		return nil, err
	}
	slices.SortStableFunc(out, func(a, b Holiday) int { return a.On.Compare(b.On) })
	return slices.CompactFunc(out, func(a, b Holiday) bool { return a.On.Equal(b.On) }), nil
}

func readHoliday(wrong *fault.Fields, path, line string) Holiday {
	date, rest, _ := strings.Cut(line, ",")
	name, _, _ := strings.Cut(rest, ",")
	on, err := time.Parse(time.DateOnly, strings.TrimSpace(date))
	wrong.If(err != nil, path, fmt.Sprintf("%q is no day", date), "Give it as 2026-12-25")
	wrong.If(strings.TrimSpace(name) == "", path, "the day has no name", "Say which holiday it is")
	return Holiday{on, strings.ReplaceAll(strings.TrimSpace(name), "_", " ")}
}
