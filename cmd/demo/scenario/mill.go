package scenario

import (
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// landing is plastered on brick, and wet.
func (s *site) landing() {
	r := s.room(&s.mill, "Landing")
	r.on(20, "07:50", r.draw(words.Hall, 1, 2400, box(3200, 1150), overhead), r.plan("ceiling", ceiling),
		r.plan("ceiling", stud, "south wall", "east wall", "west wall"),
		r.plan("ceiling", rendered, "north wall"), r.stack("ceiling", "stack", roomsheet.Point{2950, 1010}),
		r.timbers("ceiling", "J", 400, 400, 47, 170),
		r.schedule("ceiling", "D1, downlight, 76, 600, 575\nD2, downlight, 76, 2600, 575\nP1, pendant, 65, 1800, 575\nSD, "+
			"sensor, 0, 1800, 250"))
	r.on(18, "08:30", r.tape(&s.electrician, "D1 D2 P1 SD", "south wall", "north wall", "west wall", "east wall"),
		r.tape(&s.electrician, "D1 D2", "stack"),
		r.offer(&s.electrician, words.FirstFix))
	r.on(17, "16:45", r.sign(words.FirstFix, sides))
	r.on(16, "08:00", r.seen(&s.electrician, ""), r.photo("ceiling"))
	r.on(12, "14:30", r.putOn(&s.dryLiner, "ceiling", "board"), r.offer(&s.dryLiner, words.Boarding))
	r.on(11, "07:40", r.sign(words.Boarding, "looked at with the dry liner"))
	r.on(3, "15:30", r.putOn(&s.plasterer, "ceiling", "skim"), r.finished(&s.plasterer, words.Plaster),
		r.offer(&s.plasterer, words.Plaster))
	r.on(2, "16:50", r.sign(words.Plaster, ""))
}

// studio: first fix is offered and waits for the foreman's word on what is soft.
func (s *site) studio() {
	r := s.room(&s.mill, "Studio")
	r.on(10, "08:00", r.draw(words.LivingRoom, 2, 2700, box(6000, 4500), overhead), r.plan("ceiling", ceiling),
		r.plan("ceiling", brick, "south wall", "north wall", "west wall"),
		r.staysBare("ceiling", "east wall"), r.line("ceiling", "steel", roomsheet.Point{0, 2250},
			roomsheet.Point{6000, 2250}),
		r.timbers("ceiling", "J", 300, 600, 63, 270))
	r.on(9, "09:10", r.schedule("ceiling",
		"D1, downlight, 76, 1200, 1100\nD2, downlight, 76, 3000, 1100\nD3, downlight, 76, 4800, 1100\n"+
			"D4, downlight, 76, 1200, 3400\nD5, downlight, 76, 3000, 3400\nD6, downlight, 76, 4800, 3400\n"+
			"P1, pendant, 65, 3580, 2000\nF1, fan, 105, 5400, 3900"))
	r.on(4, "08:05", r.tape(&s.electrician, "D1 D2 D3 D4 D5 D6 P1", "south wall", "steel", "west wall", "east wall"),
		r.tape(&s.electrician, "F1", "north wall", "west wall"),
		r.way(&s.electrician, "ceiling", room.Way{Name: "to D1, D2, D3", Kind: room.HoleWay, A: roomsheet.Point{0, 1350},
			B: roomsheet.Point{4800, 1350}, Size: 20, Height: 135}),
		r.offer(&s.electrician, words.FirstFix))
}

// showerRoom is on the schedule and nobody has measured.
func (s *site) showerRoom() {
	r := s.room(&s.mill, "Shower room")
	bowl := roomsheet.Point{1100, 300}
	r.on(2, "13:20", r.draw(words.ShowerRoom, 3, 2400, box(1800, 1200), overhead, room.SurfaceDraft{Kind: "floor"}),
		r.plan("ceiling", ceiling),
		r.plan("ceiling", stud, "south wall", "east wall", "north wall", "west wall"),
		r.stack("ceiling", "stack", bowl), r.timbers("ceiling", "J", 300, 400, 47, 170),
		r.plan("floor", screeded), r.schedule("ceiling",
			"D1, downlight, 76, 500, 600\nF1, fan, 105, 1300, 600\nVP1, waste, 50, 1100, 300\nC1, "+
				"pipe tail, 28, 1600, 250"))
}

// store is drawn; nothing is on its schedule, and nobody has said what it will be.
func (s *site) store() {
	r := s.room(&s.mill, "Store")
	r.on(1, "16:10", r.draw("", 4, 2400, box(2100, 1500), overhead))
}
