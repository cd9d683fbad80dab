package deed

import (
	"context"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// Store writes the rows of a room, and keeps the record in step with them: a
// room is not read again to learn how it stands. Without a transaction the
// record is all there is, as on a phone without signal. That both come to the
// same is what the tests of random histories show.
type Store struct {
	tx Tx // nil: the record alone
	r  *room.Record
}

// both writes to the transaction, and where that went well to the record.
func (m Store) both(write func(Tx) error, record func()) error {
	if m.tx != nil {
		if err := write(m.tx); err != nil {
			return err
		}
	}
	record()
	return nil
}

// UpdateRoom is Tx.
func (m Store) UpdateRoom(ctx context.Context, r room.Room, version int64) error {
	return m.both(func(tx Tx) error { return tx.UpdateRoom(ctx, r, version) }, func() {
		r.CreatedAt, r.Revision, r.Version = m.r.CreatedAt, m.r.Revision, m.r.Version+1
		m.r.Room = r
	})
}

// InsertSurface is Tx.
func (m Store) InsertSurface(ctx context.Context, of id.Room, s room.Surface) error {
	return m.both(func(tx Tx) error { return tx.InsertSurface(ctx, of, s) }, func() {
		m.r.Surfaces = room.Put(m.r.Surfaces, s, func(o *room.Surface) bool { return o.ID == s.ID })
	})
}

// InsertDatum is Tx.
func (m Store) InsertDatum(ctx context.Context, of id.Room, d room.Datum) error {
	return m.both(func(tx Tx) error { return tx.InsertDatum(ctx, of, d) }, func() { m.putDatum(d) })
}

func (m Store) putDatum(d room.Datum) {
	m.r.Datums = room.Put(m.r.Datums, d, func(o *room.Datum) bool { return o.ID == d.ID })
}

// UpdateStaysBare is Tx.
func (m Store) UpdateStaysBare(ctx context.Context, datum id.Datum, stays bool) error {
	d, err := m.r.Datum(datum)
	if err != nil {
		return err
	}
	now := *d
	now.StaysBare = stays
	return m.both(func(tx Tx) error { return tx.UpdateStaysBare(ctx, datum, stays) }, func() { m.putDatum(now) })
}

// DeleteDatum is Tx.
func (m Store) DeleteDatum(ctx context.Context, datum id.Datum) error {
	return m.both(func(tx Tx) error { return tx.DeleteDatum(ctx, datum) }, func() {
		m.r.Datums = room.Drop(m.r.Datums, func(o *room.Datum) bool { return o.ID == datum })
	})
}

// ReplaceLayers is Tx.
func (m Store) ReplaceLayers(ctx context.Context, of id.Room, surface id.Surface, datum id.Datum,
	layers []room.Layer) error {
	return m.both(func(tx Tx) error { return tx.ReplaceLayers(ctx, of, surface, datum, layers) }, func() {
		others := room.Drop(m.r.Layers, func(o *room.Layer) bool { return o.Surface == surface && o.Datum == datum })
		m.r.Layers = append(others, layers...)
		m.r.Sort()
	})
}

// InsertTimber is Tx.
func (m Store) InsertTimber(ctx context.Context, of id.Room, t room.Timber) error {
	return m.both(func(tx Tx) error { return tx.InsertTimber(ctx, of, t) }, func() {
		m.r.Timbers = room.Put(m.r.Timbers, t, func(o *room.Timber) bool { return o.ID == t.ID })
	})
}

// DeleteTimber is Tx.
func (m Store) DeleteTimber(ctx context.Context, timber id.Timber) error {
	return m.both(func(tx Tx) error { return tx.DeleteTimber(ctx, timber) }, func() {
		m.r.Timbers = room.Drop(m.r.Timbers, func(o *room.Timber) bool { return o.ID == timber })
	})
}

// InsertWay is Tx.
func (m Store) InsertWay(ctx context.Context, of id.Room, w room.Way) error {
	return m.both(func(tx Tx) error { return tx.InsertWay(ctx, of, w) }, func() {
		m.r.Ways = room.Put(m.r.Ways, w, func(o *room.Way) bool { return o.ID == w.ID })
	})
}

// DeleteWay is Tx.
func (m Store) DeleteWay(ctx context.Context, way id.Way) error {
	return m.both(func(tx Tx) error { return tx.DeleteWay(ctx, way) }, func() {
		m.r.Ways = room.Drop(m.r.Ways, func(o *room.Way) bool { return o.ID == way })
	})
}

// InsertPosition is Tx.
func (m Store) InsertPosition(ctx context.Context, of id.Room, p room.Position) error {
	return m.both(func(tx Tx) error { return tx.InsertPosition(ctx, of, p) }, func() {
		p.Version = 1
		m.putPosition(p)
	})
}

// UpdatePosition is Tx.
func (m Store) UpdatePosition(ctx context.Context, p room.Position, version int64) error {
	old, err := m.r.Position(p.ID)
	if err != nil {
		return err
	}
	return m.both(func(tx Tx) error { return tx.UpdatePosition(ctx, p, version) }, func() {
		p.Version = old.Version + 1
		m.putPosition(p)
	})
}

func (m Store) putPosition(p room.Position) {
	m.r.Positions = room.Put(m.r.Positions, p, func(o *room.Position) bool { return o.ID == p.ID })
}

// InsertMeasurement is Tx.
func (m Store) InsertMeasurement(ctx context.Context, of id.Room, n room.Measurement) error {
	return m.both(func(tx Tx) error { return tx.InsertMeasurement(ctx, of, n) }, func() {
		n.Version = 1
		m.putMeasurement(n)
	})
}

// UpdateMeasurement is Tx.
func (m Store) UpdateMeasurement(ctx context.Context, n room.Measurement, version int64) error {
	old, err := m.r.Measurement(n.ID)
	if err != nil {
		return err
	}
	if m.tx == nil && version != 0 && version != old.Version {
		return &fault.Error{Kind: fault.Conflict, Msg: "Somebody else changed this in the meantime."}
	}
	return m.both(func(tx Tx) error { return tx.UpdateMeasurement(ctx, n, version) }, func() {
		n.Version = old.Version + 1
		m.putMeasurement(n)
	})
}

func (m Store) putMeasurement(n room.Measurement) {
	m.r.Measurements = room.Put(m.r.Measurements, n, func(o *room.Measurement) bool { return o.ID == n.ID })
}

// InsertTailSeen is Tx.
func (m Store) InsertTailSeen(ctx context.Context, of id.Room, t room.TailSeen) error {
	return m.both(func(tx Tx) error { return tx.InsertTailSeen(ctx, of, t) }, func() {
		if m.r.SeenOf(t.Position) == nil {
			m.r.Seen = room.Put(m.r.Seen, t, func(*room.TailSeen) bool { return false })
		}
	})
}

// DeleteTailSeen is Tx.
func (m Store) DeleteTailSeen(ctx context.Context, position id.Position) error {
	return m.both(func(tx Tx) error { return tx.DeleteTailSeen(ctx, position) }, func() {
		m.r.Seen = room.Drop(m.r.Seen, func(t *room.TailSeen) bool { return t.Position == position })
	})
}

// InsertPhoto is Tx.
func (m Store) InsertPhoto(ctx context.Context, of id.Room, p room.Photo) error {
	return m.both(func(tx Tx) error { return tx.InsertPhoto(ctx, of, p) }, func() { m.putPhoto(p) })
}

// StrikePhoto is Tx.
func (m Store) StrikePhoto(ctx context.Context, p room.Photo) error {
	return m.both(func(tx Tx) error { return tx.StrikePhoto(ctx, p) }, func() { m.putPhoto(p) })
}

func (m Store) putPhoto(p room.Photo) {
	m.r.Photos = room.Put(m.r.Photos, p, func(o *room.Photo) bool { return o.ID == p.ID })
}

// SaveAsBuilt is Tx.
func (m Store) SaveAsBuilt(ctx context.Context, of id.Room, b room.AsBuilt) error {
	return m.both(func(tx Tx) error { return tx.SaveAsBuilt(ctx, of, b) }, func() {
		m.r.Built = room.Put(m.r.Built, b, func(o *room.AsBuilt) bool { return o.Layer == b.Layer })
	})
}

// SaveFinished is Tx.
func (m Store) SaveFinished(ctx context.Context, of id.Room, f room.Finished) error {
	return m.both(func(tx Tx) error { return tx.SaveFinished(ctx, of, f) }, func() {
		m.r.Finished = room.Put(m.r.Finished, f, func(o *room.Finished) bool { return o.Stage == f.Stage })
	})
}

// InsertOpening is Tx.
func (m Store) InsertOpening(ctx context.Context, of id.Room, o room.Opening) error {
	return m.both(func(tx Tx) error { return tx.InsertOpening(ctx, of, o) }, func() { m.putOpening(o) })
}

// UpdateOpening is Tx.
func (m Store) UpdateOpening(ctx context.Context, o room.Opening) error {
	return m.both(func(tx Tx) error { return tx.UpdateOpening(ctx, o) }, func() { m.putOpening(o) })
}

func (m Store) putOpening(o room.Opening) {
	m.r.Openings = room.Put(m.r.Openings, o, func(old *room.Opening) bool { return old.ID == o.ID })
}

// SavePatch is Tx.
func (m Store) SavePatch(ctx context.Context, of id.Room, p room.Patch) error {
	return m.both(func(tx Tx) error { return tx.SavePatch(ctx, of, p) }, func() {
		if old := m.r.PatchOf(p.Opening); old != nil {
			p.OwedAt = old.OwedAt
		}
		m.r.Patches = room.Put(m.r.Patches, p, func(o *room.Patch) bool { return o.Opening == p.Opening })
	})
}

// InsertSnag is Tx.
func (m Store) InsertSnag(ctx context.Context, of id.Room, s room.Snag) error {
	return m.both(func(tx Tx) error { return tx.InsertSnag(ctx, of, s) }, func() { m.putSnag(s) })
}

// CloseSnag is Tx.
func (m Store) CloseSnag(ctx context.Context, snag id.Snag, by id.Member, at time.Time) error {
	old, err := m.r.Snag(snag)
	if err != nil {
		return err
	}
	now := *old
	now.ClosedBy, now.ClosedAt = by, at
	return m.both(func(tx Tx) error { return tx.CloseSnag(ctx, snag, by, at) }, func() { m.putSnag(now) })
}

func (m Store) putSnag(s room.Snag) {
	m.r.Snags = room.Put(m.r.Snags, s, func(o *room.Snag) bool { return o.ID == s.ID })
}

// UpdateGate is Tx. Of a signed gate it says who signed it and when, too.
func (m Store) UpdateGate(ctx context.Context, of id.Room, g room.Gate) error {
	return m.both(func(tx Tx) error { return tx.UpdateGate(ctx, of, g) }, func() { m.r.Gates[g.Stage] = g })
}
