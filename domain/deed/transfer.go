package deed

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Import adds a room to a job from a room sheet. What the sheet does not say is
// taken: the outline from the faces of its first ceiling or floor, else the box
// round everything on its first surface; the height from a wall, else 2,400 mm.
// Layers that the sheet has as on are recorded as put on today, with the
// thickness as planned. The owner and the foreman may. A repeat with the same id
// is no error and adds nothing. Faults: Refused, BadInput, NotFound (the job),
// Conflict (the room's name is taken, or its id by a room of another sheet).
func (k *Desk) Import(ctx context.Context, by firm.Person, of id.Job, roomID id.Room,
	sheet *roomsheet.Room) (*standing.Standing, error) {
	if err := firm.MayRunJobs(by); err != nil {
		return nil, err
	}
	if err := roomsheet.Check(sheet); err != nil {
		return nil, err
	}
	if err := upTo(sheet); err != nil {
		return nil, err
	}
	r := room.Room{ID: id.OrNew(roomID), Job: of, Name: sheet.Room, Use: words.Use(sheet.Use), Outline: outlineOf(sheet),
		Height: heightOf(sheet), Wet: []room.Wet{}}
	sheet, err := linked(sheet)
	if err != nil {
		return nil, err
	}
	same := func(old *room.Record) bool { return old.Job == r.Job && holds(old, sheet) }
	return k.begin(ctx, by, r, same, func(w *Writing) error {
		if err := w.read(ctx, sheet); err != nil {
			return err
		}
		return w.Note("import_room", nil, r.Name+" was read in from a room sheet.", sheet)
	})
}

// upTo refuses a thickness that does not say up to which layer.
func upTo(sheet *roomsheet.Room) error {
	var wrong fault.Fields
	for i, s := range sheet.Surfaces {
		for k, m := range s.Measurements {
			wrong.If(m.Kind == string(words.Thickness) && m.State == "",
				fmt.Sprintf("$.surfaces[%d].measurements[%d].state", i, k), m.ID+" does not say "+room.UpTo, "Say "+room.UpTo)
		}
	}
	return wrong.Err("This room sheet cannot be read in.")
}

// Imported returns the record of a room as it was read in from a sheet, under ids of
// its own.
func Imported(sheet *roomsheet.Room, by id.Member, at time.Time) (*room.Record, error) {
	w := &Writing{Record: &room.Record{Room: room.Room{Name: sheet.Room, Use: words.Use(sheet.Use),
		Outline: outlineOf(sheet),
		Height:  heightOf(sheet), Wet: []room.Wet{}}}, By: firm.Person{ID: by}, Now: at}
	return w.Record, w.read(context.Background(), sheet)
}

// linked returns a sheet that says which walls its surfaces and faces are: as it says itself, or else by where
// they lie.
func linked(sheet *roomsheet.Room) (*roomsheet.Room, error) {
	if Linked(sheet) {
		return sheet, nil
	}
	r, err := Imported(sheet, id.Member{}, time.Time{})
	if err != nil {
		return nil, err
	}
	r.Link()
	out, face := *sheet, 0
	out.Surfaces = slices.Clone(sheet.Surfaces)
	for i := range out.Surfaces {
		s := &out.Surfaces[i]
		s.Wall, s.Datums = r.Surfaces[i].Wall, slices.Clone(s.Datums)
		for k := range s.Datums {
			s.Datums[k].Wall = r.Datums[face].Wall
			face++
		}
	}
	return &out, nil
}

// Linked reports whether a sheet says which walls its surfaces and faces are; those of old do not.
func Linked(sheet *roomsheet.Room) bool {
	walls := len(outlineOf(sheet))
	said, wrong := false, false
	see := func(wall int) { said, wrong = said || wall > 0, wrong || wall > walls }
	for _, s := range sheet.Surfaces {
		see(s.Wall)
		for _, d := range s.Datums {
			see(d.Wall)
		}
	}
	return said && !wrong
}

// read stores what a sheet says.
func (w *Writing) read(ctx context.Context, sheet *roomsheet.Room) error {
	measurements := 0
	for i := range sheet.Surfaces {
		in := importing{w: w, from: &sheet.Surfaces[i], datums: map[string]*room.Datum{},
			positions: map[string]id.Position{}, taken: &measurements}
		if err := in.surface(ctx, i+1); err != nil {
			return err
		}
	}
	return nil
}

// holds reports whether a room has all the positions and measurements of a sheet,
// by name, as one that was read in from it has; more may have come since.
func holds(r *room.Record, sheet *roomsheet.Room) bool {
	names := map[string]bool{}
	for _, p := range r.Positions {
		names["position "+p.Name] = true
	}
	for _, m := range r.Measurements {
		names["measurement "+m.Name] = true
	}
	for _, s := range sheet.Surfaces {
		for _, p := range s.Positions {
			if !names["position "+p.ID] {
				return false
			}
		}
		for _, m := range s.Measurements {
			if !names["measurement "+m.ID] {
				return false
			}
		}
	}
	return true
}

// importing is one surface of a sheet being stored.
type importing struct {
	w         *Writing
	from      *roomsheet.Surface
	to        room.Surface
	datums    map[string]*room.Datum
	positions map[string]id.Position
	taken     *int // measurements of the room so far
}

func (in *importing) surface(ctx context.Context, place int) error {
	in.to = room.Surface{ID: id.New[id.Surface](), Name: in.from.ID, Kind: in.from.Kind, Place: place,
		Wall:    in.wall(in.from.Wall),
		Outline: outlineOfSurface(in.from)}
	w := in.w
	put(ctx, w, &w.Record.Surfaces, in.to, Tx.InsertSurface)
	if err := in.layers(ctx, id.Datum{}, in.from.Layers, in.from.Now); err != nil {
		return err
	}
	for i := range in.from.Datums {
		if err := in.datum(ctx, &in.from.Datums[i], i+1); err != nil {
			return err
		}
	}
	for _, t := range in.from.Timbers {
		put(ctx, w, &w.Record.Timbers, room.Timber{ID: id.New[id.Timber](), Surface: in.to.ID, Name: t.ID,
			A: t.Line[0], B: t.Line[1], Width: t.Width, Sigma: t.Sigma}, Tx.InsertTimber)
	}
	for i, p := range in.from.Positions {
		q := room.PositionDraft{Name: p.ID, Kind: p.Kind, Cutout: p.Cutout, Reach: p.Reach,
			TailSigma: p.TailSigma}.Position(in.to.ID)
		// A microsecond apart, so that they keep their order.
		q.AddedAt = in.w.Now.Add(time.Duration(i) * time.Microsecond)
		in.positions[p.ID] = q.ID
		put(ctx, w, &w.Record.Positions, q, Tx.InsertPosition)
	}
	for i := range in.from.Measurements {
		in.measurement(ctx, &in.from.Measurements[i])
	}
	return w.err
}

// wall returns a wall of the outline; 0 where the room has no such wall.
func (in *importing) wall(wall int) int {
	if wall > len(in.w.Record.Outline) {
		return 0
	}
	return wall
}

func (in *importing) datum(ctx context.Context, d *roomsheet.Datum, place int) error {
	out := room.Datum{ID: id.New[id.Datum](), Surface: in.to.ID, Name: d.ID, Kind: words.DatumKind(d.Kind), Place: place,
		Sigma: d.Sigma, Lean: d.Lean, Wall: in.wall(d.Wall)}
	if d.Point != nil {
		out.A = *d.Point
	} else {
		out.A, out.B = d.Line[0], d.Line[1]
	}
	in.datums[d.ID] = &out
	put(ctx, in.w, &in.w.Record.Datums, out, Tx.InsertDatum)
	return in.layers(ctx, out.ID, d.Layers, d.Now)
}

// layers stores a build-up, those up to now as put on.
func (in *importing) layers(ctx context.Context, datum id.Datum, from []roomsheet.Layer, now string) error {
	var out []room.Layer
	for i, l := range from {
		stage := words.Boarding
		if l.Stage != "" {
			var err error
			if stage, err = words.ParseStage(l.Stage); err != nil {
				return err
			}
		}
		out = append(out, room.Layer{ID: id.New[id.Layer](), Surface: in.to.ID, Datum: datum, Place: i + 1, Name: l.ID,
			Thickness: l.Thickness, Sigma: l.Sigma, Stage: stage})
	}
	if len(out) == 0 {
		return nil
	}
	in.w.replaceLayers(ctx, in.to.ID, datum, out)
	if now == "" || now == roomsheet.Bare {
		return nil
	}
	for _, l := range out {
		b := room.AsBuilt{Layer: l.ID, Stage: l.Stage, PutOn: in.w.Record.Zone.Day(in.w.Now), By: in.w.By.ID, At: in.w.Now}
		put(ctx, in.w, &in.w.Record.Built, b, Tx.SaveAsBuilt)
		if l.Name == now {
			break
		}
	}
	return nil
}

func (in *importing) measurement(ctx context.Context, m *roomsheet.Measurement) {
	out := room.Measurement{ID: id.New[id.Measurement](), Surface: in.to.ID, Kind: words.MeasurementKind(m.Kind),
		Stage: words.FirstFix,
		Of:    in.positions[m.Of], State: m.State, ToState: m.ToState, FromState: m.FromState, SurfaceState: m.SurfaceState,
		Value: m.Value, Sigma: m.Sigma, By: m.By, TakenBy: in.w.By.ID, Version: 1}
	if out.By == "" {
		out.By = "tape"
	}
	if out.Kind == words.Distance {
		out.ToPosition = in.positions[m.To]
	} else if d := in.datums[m.To]; d != nil {
		out.To = d.ID
	}
	if d := in.datums[m.From]; d != nil {
		out.From = d.ID
	}
	in.bare(&out)
	*in.taken++
	out.Name = "m" + strconv.Itoa(*in.taken)
	out.TakenAt = in.w.Now.Add(time.Duration(*in.taken) * time.Microsecond)
	put(ctx, in.w, &in.w.Record.Measurements, out, Tx.InsertMeasurement)
}

// bare says of faces on which nothing is planned that they were bare, as room.Record.Measured does.
func (in *importing) bare(m *room.Measurement) {
	open := func(of id.Datum) bool {
		d, err := in.w.Record.Datum(of)
		return err == nil && d.Kind == words.Face && len(in.w.Record.LayersOf(d.Surface, d.ID)) == 0
	}
	if (m.Kind == words.Offset || m.Kind == words.Span) && open(m.From) {
		m.State = roomsheet.Bare
	}
	if m.Kind == words.Span && open(m.To) {
		m.ToState = roomsheet.Bare
	}
}

// outlineOf is the outline of a room that a sheet describes.
func outlineOf(sheet *roomsheet.Room) []roomsheet.Point {
	for i := range sheet.Surfaces {
		if k := sheet.Surfaces[i].Kind; k == "ceiling" || k == "floor" {
			return outlineOfSurface(&sheet.Surfaces[i])
		}
	}
	return outlineOfSurface(&sheet.Surfaces[0])
}

// outlineOfSurface follows the faces round; where they do not close it is the
// Box round everything drawn.
func outlineOfSurface(s *roomsheet.Surface) []roomsheet.Point {
	var round []roomsheet.Point
	var all []roomsheet.Point
	for _, d := range s.Datums {
		if d.Line != nil {
			all = append(all, d.Line[0], d.Line[1])
			if d.Kind == "face" {
				round = append(round, d.Line[0])
			}
		} else {
			all = append(all, *d.Point)
		}
	}
	for _, t := range s.Timbers {
		all = append(all, t.Line[0], t.Line[1])
	}
	if out, err := room.CheckOutline(round); err == nil && chained(s, round) {
		return out
	}
	if len(all) == 0 {
		return room.Rectangle(1000, 1000)
	}
	low, high := room.Box(all)
	for k := range 2 {
		if high[k]-low[k] < 1 {
			high[k] = low[k] + 1000
		}
	}
	return []roomsheet.Point{low, {high[0], low[1]}, high, {low[0], high[1]}}
}

// chained reports whether each face ends where the next begins.
func chained(s *roomsheet.Surface, round []roomsheet.Point) bool {
	n := 0
	for _, d := range s.Datums {
		if d.Kind != "face" {
			continue
		}
		n++
		if d.Line[1] != round[n%len(round)] {
			return false
		}
	}
	return n > 2
}

// usualHeight is a room's where nothing says, mm. Common practice.
const usualHeight = 2400

func heightOf(sheet *roomsheet.Room) float64 {
	for i := range sheet.Surfaces {
		if s := &sheet.Surfaces[i]; s.Kind == "wall" && len(s.Datums) > 0 {
			low, high := room.Box(outlineOfSurface(s))
			return high[1] - low[1]
		}
	}
	return usualHeight
}
