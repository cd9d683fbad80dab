package dbtest

import (
	"context"
	"slices"
	"sync"
	"time"

	"lathmark/domain/photo"
)

// Pictures is a store in memory, for databases that tests copy from one another.
type Pictures struct{ all sync.Map }

type kept struct {
	data []byte
	put  time.Time
}

// Put implements photo.Store.
func (p *Pictures) Put(_ context.Context, key photo.Key, data []byte) error {
	p.all.Store(key, kept{slices.Clone(data), time.Now()})
	return nil
}

// Get implements photo.Store.
func (p *Pictures) Get(_ context.Context, key photo.Key) ([]byte, error) {
	if one, there := p.all.Load(key); there {
		return one.(kept).data, nil
	}
	return nil, photo.NoPicture(nil)
}

// Has implements photo.Store.
func (p *Pictures) Has(_ context.Context, key photo.Key) (bool, error) {
	_, there := p.all.Load(key)
	return there, nil
}

// Delete implements photo.Store.
func (p *Pictures) Delete(_ context.Context, key photo.Key) error {
	p.all.Delete(key)
	return nil
}

// Each implements photo.Store.
func (p *Pictures) Each(_ context.Context, do func(photo.Key, time.Time) error) error {
	for key, one := range p.all.Range {
		if err := do(key.(photo.Key), one.(kept).put); err != nil {
			return err
		}
	}
	return nil
}
