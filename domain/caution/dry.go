package caution

import (
	"fmt"
	"lathmark/domain/words"
	"math"
	"time"
)

// Coat is what has to dry.
type Coat string

// The coats.
const (
	Skim    Coat = "skim"    // finish on board, 2 to 3 mm
	Backing Coat = "backing" // undercoat and finish on masonry, about 13 mm
	Screed  Coat = "screed"  // a cement floor
)

// Figures of drying.
const (
	// Skim on board: days, from first to last. Common practice; read on a
	// trade page: until it is evenly pale.
	SkimDays, SkimDaysMost = 3, 7
	// Backing coats: days. Common practice; the same page, 2 to 4 weeks.
	BackingDays, BackingDaysMost = 14, 28
	// SkimMost is the thickest that still dries as a skim, mm. Our own line:
	// a skim is 2 to 3 mm (trade practice), two coats of it 5.
	SkimMost = 5.0
	// ScreedEven: a screed dries about 1 mm a day up to here, mm. BS
	// 5385-3:2014 has that up to 40 (read at second hand), practice after BS
	// 8204-1 up to 50 and then ScreedSlow days a millimetre (from memory).
	ScreedEven = 50.0
	ScreedSlow = 2.0
	// FloorHumidity: a floor takes its covering at this relative humidity or
	// below in an insulated box, %. BS 8203:2001+A1:2009 Annex A; second hand.
	FloorHumidity = 75
	// DabsBeforeTiling: days between dabs and tiles on them. NHBC Standards
	// 9.2.5; read in the document.
	DabsBeforeTiling = 10
)

var (
	plasterSource = Source{"Plasterers' practice", "", "", Practice}
	screedSource  = Source{"Practice after BS 8204-1; BS 5385-3:2014 up to 40 mm", "", "", Memory}
)

// CoatOf returns the kind of plaster coat for a total thickness in mm.
func CoatOf(thickness float64) Coat {
	if thickness > SkimMost {
		return Backing
	}
	return Skim
}

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

// Days returns the least and the usual days a coat of a thickness in mm takes.
// Thickness counts for a screed only. Days are whole, rounded up.
func Days(c Coat, thickness float64) (least, usual int) {
	switch c {
	case Skim:
		return SkimDays, SkimDaysMost
	case Backing:
		return BackingDays, BackingDaysMost
	}
	d := math.Min(thickness, ScreedEven) + ScreedSlow*math.Max(0, thickness-ScreedEven)
	least = int(math.Ceil(d))
	return least, least
}

// Dry returns when a coat finished on a day can be dry. The clock time and the
// place of finished are kept. A thickness below 0 counts as 0.
func Dry(c Coat, thickness float64, finished time.Time) Drying {
	least, usual := Days(c, math.Max(0, thickness))
	out := Drying{Earliest: finished.AddDate(0, 0, least), Usual: finished.AddDate(0, 0, usual)}
	day := words.Day(out.Earliest)
	if c == Screed {
		out.Caution = Caution{"dry", fmt.Sprintf(
			"A screed of %.0f mm cannot be dry before %s, and often takes longer. Measure it: the floor goes on at %d %% "+
				"humidity or below.",
			thickness, day, FloorHumidity), screedSource}
		return out
	}
	out.Caution = Caution{"dry", fmt.Sprintf(
		"The %s cannot be dry before %s, more often not before %s. Paint when it is evenly pale all over, and thin the "+
			"first coat.",
		coatWords[c], day, words.Day(out.Usual)), plasterSource}
	return out
}

var coatWords = map[Coat]string{Skim: "skim", Backing: "plaster"}
