package proof

import (
	"encoding/json"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
	"lathmark/domain/job"
	"lathmark/domain/programme"
)

// site is a job as the entries about the whole of it say.
type site struct {
	check         *check
	seq           int64 // of the entry that gave it its name
	name, address string
	closed        time.Time
}

// called is how entries name a job.
type called struct {
	Name    string `json:"name"`
	Address string `json:"address"`
}

func (s *site) tell(e *diary.Entry) {
	var err error
	switch e.Act {
	case "add_job":
		var to called
		to, err = deed.Unpack[called](e.Detail)
		s.seq, s.name, s.address = e.Seq, to.Name, to.Address
	case "rename_job":
		var d struct{ To called }
		err = json.Unmarshal(e.Detail, &d)
		s.seq, s.name, s.address = e.Seq, d.To.Name, d.To.Address
	case "close_job":
		s.closed = e.At
	case "reopen_job":
		s.closed = time.Time{}
	case "client_link", "renew_client_link", "end_client_link", "forget":
	case programme.ActPromise, programme.ActComing:
	default:
		s.check.found(e.Seq, "entry %d is of the act %q, which this program does not know", e.Seq, e.Act)
	}
	if err != nil {
		s.check.found(e.Seq, "entry %d (%s) cannot be read: %s", e.Seq, e.Act, err)
	}
}

func (s *site) compare(j job.Job) {
	if s.seq == 0 {
		s.check.found(0, "no entry says that the job began")
		return
	}
	if s.name != j.Name {
		s.check.found(s.seq, "the job was called %s (entry %d), and is called %s", s.name, s.seq, j.Name)
	}
	if s.address != j.Address {
		s.check.found(s.seq, "the job's address was %q (entry %d), and is %q", s.address, s.seq, j.Address)
	}
	if !s.closed.Equal(j.ClosedAt) {
		s.check.found(0, "the job was closed at %s by its diary, and at %s by its record", sayTime(s.closed),
			sayTime(j.ClosedAt))
	}
}

// sayTime says a time that may be none.
func sayTime(at time.Time) string {
	if at.IsZero() {
		return "no time"
	}
	return when(at)
}
