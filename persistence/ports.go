package persistence

import (
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/firm"
	"lathmark/domain/job"
	"lathmark/domain/photo"
	"lathmark/domain/room"
	"lathmark/domain/stage"
	"lathmark/domain/subjectdata"
	"lathmark/domain/visit"
)

var (
	_ firm.Tx        = (*Tx)(nil)
	_ diary.Tx       = (*Tx)(nil)
	_ job.Tx         = (*Tx)(nil)
	_ room.Tx        = (*Tx)(nil)
	_ visit.Tx       = (*Tx)(nil)
	_ subjectdata.Tx = (*Tx)(nil)
)

// Services are the domain's services over one database.
type Services struct {
	Firm  *firm.Service
	Diary *diary.Service
	Job   *job.Service
	Room  *room.Service
	Stage *stage.Service
	Visit *visit.Service
	Photo *photo.Service
	Held  *subjectdata.Service
}

// NewServices puts the services together; now is their clock.
func NewServices(db *DB, now func() time.Time) Services {
	book := room.NewBook(In[room.Tx](db), InSnapshot[room.Tx](db), now)
	return Services{
		Firm:  firm.NewService(In[firm.Tx](db), now),
		Diary: diary.NewService(InSnapshot[diary.Tx](db)),
		Job:   job.NewService(In[job.Tx](db), now),
		Room:  room.NewService(book),
		Stage: stage.NewService(book),
		Visit: visit.NewService(book, In[visit.Tx](db), InSnapshot[visit.Tx](db)),
		Photo: photo.NewService(book, In[room.Tx](db), db.Pictures),
		Held:  subjectdata.NewService(In[subjectdata.Tx](db), InSnapshot[subjectdata.Tx](db), now),
	}
}
