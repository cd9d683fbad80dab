package dbtest

import (
	"context"
	"slices"
	"sync"
	"time"

	"lathmark/domain/photo"
)

// Pictures is a store in memory, for databases that tests copy from one another.
type Pictures struct {
	mu  sync.Mutex
	all map[photo.Key]kept
}

type kept struct {
	data []byte
	put  time.Time
}

// Put implements photo.Store.
func (p *Pictures) Put(_ context.Context, key photo.Key, data []byte) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.all == nil {
		p.all = map[photo.Key]kept{}
	}
	p.all[key] = kept{slices.Clone(data), time.Now()}
	return nil
}

func (p *Pictures) get(key photo.Key) (kept, bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	one, there := p.all[key]
	return one, there
}

// Get implements photo.Store.
func (p *Pictures) Get(_ context.Context, key photo.Key) ([]byte, error) {
	if one, there := p.get(key); there {
		return one.data, nil
	}
	return nil, photo.NoPicture(nil)
}

// Has implements photo.Store.
func (p *Pictures) Has(_ context.Context, key photo.Key) (bool, error) {
	_, there := p.get(key)
	return there, nil
}

// Delete implements photo.Store.
func (p *Pictures) Delete(_ context.Context, key photo.Key) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	delete(p.all, key)
	return nil
}

// Each implements photo.Store.
func (p *Pictures) Each(_ context.Context, do func(photo.Key, time.Time) error) error {
	p.mu.Lock()
	all := make(map[photo.Key]time.Time, len(p.all))
	for key, one := range p.all {
		all[key] = one.put
	}
	p.mu.Unlock()
	for key, put := range all {
		if err := do(key, put); err != nil {
			return err
		}
	}
	return nil
}
