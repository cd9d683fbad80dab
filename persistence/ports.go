package persistence

import (
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
	"lathmark/domain/firm"
	"lathmark/domain/job"
	"lathmark/domain/photo"
	"lathmark/domain/programme"
	"lathmark/domain/proof"
	"lathmark/domain/standing"
	"lathmark/domain/subjectdata"
)

var (
	_ firm.Tx        = (*Tx)(nil)
	_ diary.Tx       = (*Tx)(nil)
	_ job.Tx         = (*Tx)(nil)
	_ deed.Tx        = (*Tx)(nil)
	_ standing.Tx    = (*Tx)(nil)
	_ subjectdata.Tx = (*Tx)(nil)
	_ proof.Tx       = (*Tx)(nil)
	_ programme.Tx   = (*Tx)(nil)

	_ programme.KeepTx = (*Tx)(nil)
)

// Services are the domain's services over one database.
type Services struct {
	Firm  *firm.Service
	Diary *diary.Service
	Job   *job.Service
	Book  *standing.Book
	Desk  *deed.Desk
	Photo *photo.Service
	Held  *subjectdata.Service
	Proof *proof.Service
	// Programme says who comes when.
	Programme *programme.Service
	Planner   *programme.Worker
}

// NewServices puts the services together. Their clock is the machine's, and for what is
// written in a room the database's, which refuses to sign anything off at another time. A
// past, as a demo's history has one, is told by now; see localpg.Server.PastURL.
func NewServices(db *DB, now func() time.Time) Services {
	past := now != nil
	if !past {
		now = time.Now
	}
	read := standing.NewBook(db, In[standing.Tx](db.Snapshot), now)
	desk := deed.NewDesk(In[deed.Tx](db.WithTx), In[deed.Tx](db.Snapshot), read, past)
	planner := programme.NewWorker(In[programme.KeepTx](db.WithTx), read)
	return Services{
		Firm:      firm.NewService(In[firm.Tx](db.WithTx), In[firm.Tx](db.Glance), now),
		Diary:     diary.NewService(In[diary.Tx](db.Snapshot)),
		Job:       job.NewService(In[job.Tx](db.WithTx), now),
		Book:      read,
		Desk:      desk,
		Photo:     photo.NewService(desk, In[deed.Tx](db.WithTx), db.Pictures),
		Proof:     proof.NewService(In[proof.Tx](db.Snapshot)),
		Held:      subjectdata.NewService(In[subjectdata.Tx](db.WithTx), In[subjectdata.Tx](db.Snapshot), now),
		Programme: programme.NewService(In[programme.Tx](db.WithTx), In[programme.Tx](db.Snapshot), db.Mark, planner, now),
		Planner:   planner,
	}
}
