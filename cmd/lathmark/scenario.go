package main

import (
	"context"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/persistence"
)

// crew are the people of the demo's firm beside its owner. All of them are invented.
var crew = []firm.Person{
	{Name: "Bram Okafor", Role: firm.Foreman},
	{Name: "Ines Carro", Role: firm.Trade, Trade: gate.Electrician},
	{Name: "Olek Nowik", Role: firm.Trade, Trade: gate.Plumber},
	{Name: "Tess Aldous", Role: firm.Trade, Trade: gate.DryLiner},
	{Name: "Jon Pryde", Role: firm.Trade, Trade: gate.Plasterer},
	{Name: "Runa Halloran", Role: firm.Trade, Trade: gate.Tiler},
	{Name: "Mina Sorel", Role: firm.Trade, Trade: gate.Decorator},
}

// furnish makes the demo's firm through the services, as people would.
func furnish(ctx context.Context, db *persistence.DB) error {
	all := persistence.NewServices(db, time.Now)
	owner, _, err := all.Firm.Found(ctx, "Fell & Daughters", "Ada Fell")
	if err != nil {
		return err
	}
	for _, p := range crew {
		if _, err := all.Firm.AddMember(ctx, owner, p); err != nil {
			return err
		}
	}
	return nil
}
