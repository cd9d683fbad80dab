package caution

import (
	"fmt"
	"math"
	"time"

	"lathmark/domain/words"
)

// Figures of drying, in days and mm.
const (
	// Skim on board, from first to last: until it is evenly pale. Common practice.
	SkimDays, SkimDaysMost = 3, 7
	// Backing coats on masonry: 2 to 4 weeks. Common practice.
	BackingDays, BackingDaysMost = 14, 28
	// SkimMost is the thickest that still dries as a skim. Our own line: a skim is
	// 2 to 3 mm (trade practice), two coats of it 5.
	SkimMost = 5.0
	// ScreedEven: a cement screed dries about 1 mm a day up to here (BS
	// 5385-3:2014); what is beyond takes ScreedSlow days a millimetre (practice:
	// the standard says only that it takes longer).
	ScreedEven = 40.0
	ScreedSlow = 2.0
	// FloorHumidity: a floor takes its covering at this relative humidity or
	// below in an insulated box, %. BS 8203:2001+A1:2009, Annex A.
	FloorHumidity = 75
	// DabsBeforeTiling: days between dabs and tiles on them.
	DabsBeforeTiling = 10
)

var (
	screedSource = Source{Document: "BS 5385-3:2014", Clause: "drying of screeds; BS 8203:2001+A1:2009, Annex A"}
	dabsSource   = Source{Document: "NHBC Standards 2020", Clause: "9.2.5", Known: Read}
)

// Drying is when a coat may be dry.
type Drying struct {
	// Earliest is the first day on which it can be dry: a lower bound in good
	// conditions (20 °C, up to 65 % humidity), never a promise.
	Earliest time.Time
	// Usual is the day by which it usually is; equal to Earliest for a screed,
	// for which practice has no upper bound.
	Usual   time.Time
	Caution Caution
}

// Plaster returns when coats of plaster on one face, mm thick together, can be dry
// that were finished on a day.
func Plaster(thickness float64, finished time.Time) Drying {
	least, usual := PlasterDays(thickness)
	d := Drying{Earliest: finished.AddDate(0, 0, least), Usual: finished.AddDate(0, 0, usual)}
	d.Caution = Caution{"dry", fmt.Sprintf("The plaster cannot be dry before %s; allow until %s. Paint when it is evenly "+
		"pale all over; thin the first coat.", words.Day(d.Earliest), words.Day(d.Usual)), site}
	return d
}

// PlasterDays returns the least and the usual days that plaster of a thickness takes.
func PlasterDays(thickness float64) (least, usual int) {
	if thickness > SkimMost {
		return BackingDays, BackingDaysMost
	}
	return SkimDays, SkimDaysMost
}

// ScreedDays returns the least days that a screed takes, whole, rounded up.
func ScreedDays(thickness float64) int {
	thickness = math.Max(0, thickness)
	return int(math.Ceil(math.Min(thickness, ScreedEven) + ScreedSlow*math.Max(0, thickness-ScreedEven)))
}

// Screed returns what to mind about a cement screed: when it can be dry where it
// is laid, and how long it takes where laid is zero.
func Screed(thickness float64, laid time.Time) Caution {
	days := ScreedDays(thickness)
	text := fmt.Sprintf("A screed of %s mm takes %d days to dry at least", words.MM(thickness), days)
	if !laid.IsZero() {
		text = fmt.Sprintf("The screed of %s mm cannot be dry before %s", words.MM(thickness),
			words.Day(laid.AddDate(0, 0, days)))
	}
	return Caution{"dry_screed", fmt.Sprintf("%s, and often longer. Measure it: the floor goes on at %d %% humidity or "+
		"below.", text, FloorHumidity), screedSource}
}

// Dabs returns what to mind about boards on dabs that are to be tiled: from which
// day where they are on, and how long to leave them where on is zero.
func Dabs(on time.Time) Caution {
	text := fmt.Sprintf("Leave boards on dabs %d days before they are tiled.", DabsBeforeTiling)
	if !on.IsZero() {
		text = fmt.Sprintf("The boards on dabs take no tiles before %s, %d days after they went on.",
			words.Day(on.AddDate(0, 0, DabsBeforeTiling)), DabsBeforeTiling)
	}
	return Caution{"dabs", text, dabsSource}
}
