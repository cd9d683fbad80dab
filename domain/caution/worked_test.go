package caution

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"lathmark/domain/words"
)

const inch = 25.4

// floorNotch returns the notch limit as a table prints it, in whole mm.
func floorNotch(depth float64) float64 {
	return math.Floor(BS5268.Limits(Joist{Depth: depth}).MaxNotch)
}

func days(thickness float64) (least, usual float64) {
	l, u := PlasterDays(thickness)
	return float64(l), float64(u)
}

// worked returns our value for every line of testdata/worked.csv.
func worked() map[string]float64 {
	uk := Joist{Depth: 195, Span: 3600}
	bs, nhbc := BS5268.Limits(uk), NHBC.Limits(uk)
	us := IRC.Limits(Joist{Depth: 9.25 * inch, Span: 4000})
	out := map[string]float64{
		"joist/uk bs notch depth": bs.MaxNotch, "joist/uk bs notch from": bs.NotchFrom, "joist/uk bs notch to": bs.NotchTo,
		"joist/uk bs hole": bs.MaxHole, "joist/uk bs hole from": bs.HoleFrom, "joist/uk bs hole to": bs.HoleTo,
		"joist/uk nhbc notch depth": nhbc.MaxNotch, "joist/uk nhbc notch from": nhbc.NotchFrom,
		"joist/uk nhbc notch to":  nhbc.NotchTo,
		"joist/us notch depth in": us.MaxNotch / inch, "joist/us notch length in": us.MaxNotchLength / inch,
		"joist/us end notch in": us.MaxEndNotch / inch, "joist/us hole in": us.MaxHole / inch,

		"air/15 l/s in m3/h": CubicMetresAnHour(15), "air/60 l/s in m3/h": CubicMetresAnHour(60),
		"air/bathroom": Extracts[words.Bathroom].Intermittent, "air/shower room": Extracts[words.ShowerRoom].Intermittent,
		"air/kitchen": Extracts[words.Kitchen].Intermittent, "air/kitchen hood": Extracts[words.Kitchen].Hood,
		"air/utility": Extracts[words.Utility].Intermittent, "air/wc": Extracts[words.WC].Intermittent,
		"air/kitchen continuous":  Extracts[words.Kitchen].Continuous,
		"air/bathroom continuous": Extracts[words.Bathroom].Continuous,

		"zone/top": ZoneTop, "zone/two": ZoneTwo, "zone/wet room": WetRoomReach,
		"zone/socket": SocketClear, "zone/socket 2022": SocketClear2022,
		"cable/depth": CableDepth, "cable/strip": CableStrip, "cable/thin wall": ThinWall, "cable/joist": JoistCover,
	}
	for _, d := range []float64{125, 150, 175, 200, 225} {
		out[fmt.Sprintf("joist/bs notch %.0f", d)] = floorNotch(d)
	}
	for _, d := range []float64{40, 50, 65} {
		out[fmt.Sprintf("dry/screed %.0f", d)] = float64(ScreedDays(d))
	}
	out["dry/dabs before tiles"] = DabsBeforeTiling
	out["dry/floor humidity"] = FloorHumidity
	out["dry/skim 3 least"], out["dry/skim 3 usual"] = days(3)
	out["dry/backing 13 least"], out["dry/backing 13 usual"] = days(13)
	return out
}

// Every published value that we have is checked against what the code returns,
// both ways: no line without a value and no value without a line. The published
// inches are rounded to a hundredth.
func TestWorkedValues(t *testing.T) {
	f, err := os.Open("testdata/worked.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment, r.FieldsPerRecord = '#', 5
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	ours := worked()
	for _, row := range rows {
		key := row[0] + "/" + row[1]
		want, err := strconv.ParseFloat(row[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		got, ok := ours[key]
		if !ok {
			t.Errorf("%s: nothing of ours answers this line", key)
		} else if math.Abs(got-want) > 0.006 {
			t.Errorf("%s: %v, %s has %v", key, got, row[3], want)
		}
		if row[3] == "" || row[4] == "" {
			t.Errorf("%s has no source", key)
		}
		delete(ours, key)
	}
	for key := range ours {
		t.Errorf("%s has no line in testdata", key)
	}
}
