package scenario

import (
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// bathroom: boarding is offered, and refused.
func (s *site) bathroom() {
	r := s.room(&s.quarry, "Bathroom")
	const basin = "west wall"
	bath := room.Wet{Kind: "bath", Outline: []roomsheet.Point{{1900, 0}, {2600, 0}, {2600, 1700}, {1900, 1700}}}
	r.on(14, "07:45", r.drawn(room.Draft{Place: 5, Use: words.Bathroom, Height: 2240, Outline: box(2600, 2100),
		Wet:      []room.Wet{bath},
		Surfaces: []room.SurfaceDraft{overhead, {Kind: "wall", Wall: 4}}}),
		r.plan("ceiling", ceiling), r.plan("ceiling", tiled, "south wall", "east wall", "north wall", "west wall"),
		r.timbers("ceiling", "J", 450, 400, 47, 170),
		r.plan(basin, tiled), r.plan(basin, flooring, "floor"), r.plan(basin, tiled, "left side", "right side"), r.plan(basin,
			ceiling, "ceiling"),
		r.line(basin, "laser line", roomsheet.Point{0, 1000}, roomsheet.Point{2100, 1000}))
	r.on(13, "08:00", r.schedule("ceiling",
		"D1, downlight, 76, 650, 525\nD2, downlight, 76, 1850, 525\nD3, downlight, 76, 650, 1575\n"+
			"D4, downlight, 76, 1850, 1575\nF1, fan, 105, 1450, 1050"),
		r.schedule(basin, "H1, pipe tail, 28, 900, 600\nC1, pipe tail, 28, 1050, 600\nW1, waste, 50, 975, 480\n"+
			"S1, socket, 68, 1700, 900"))
	r.on(11, "08:10", r.tape(&s.electrician, "D1 D2 D3 D4 F1", "south wall", "north wall", "west wall", "east wall"))
	r.on(11, "13:00", r.tape(&s.plumber, "H1 C1 W1", "left side", "right side", "laser line", "floor"),
		r.tape(&s.electrician, "S1", "left side", "right side", "laser line", "floor"),
		r.way(&s.electrician, basin, room.Way{Name: "to S1", Kind: room.HoleWay, A: roomsheet.Point{400, 1600},
			B: roomsheet.Point{1700, 900}, Size: 20}),
		r.offer(&s.plumber, words.FirstFix))
	r.on(10, "16:40", r.sign(words.FirstFix, sides))
	r.on(5, "07:50", r.seen(&s.electrician, "D1 D2 D3 D4 F1 S1"), r.photo("ceiling"))
	r.on(4, "08:15", r.seen(&s.plumber, "H1 C1"))
	r.on(2, "15:40", r.putOn(&s.dryLiner, "ceiling", "board on dabs", "south wall", "east wall"),
		r.putOnThick(&s.dryLiner, "ceiling", "north wall", "board on dabs", 46),
		r.offer(&s.dryLiner, words.Boarding))
}

// bedroom has a slope, was opened again for one more light, and is being plastered.
func (s *site) bedroom() {
	r := s.room(&s.quarry, "Back bedroom under the slope")
	every := []string{"low wall", "right side", "left side"}
	r.on(28, "07:50", r.draw(words.Bedroom, 6, 2400, box(4200, 3000), room.SurfaceDraft{Name: "slope", Kind: "slope",
		Wall: 1, Pitch: 35,
		Length: 2441}),
		r.plan("slope", ceiling), r.plan("slope", stud, "low wall"), r.plan("slope", brick, "right side", "left side"),
		r.line("slope", "ridge beam", roomsheet.Point{0, 2400}, roomsheet.Point{4200, 2400}), r.timbers("slope", "R", 600,
			600, 47, 150),
		r.way(&s.electrician, "slope", room.Way{Name: "to SD", Kind: room.HoleWay, A: roomsheet.Point{500, 1900},
			B: roomsheet.Point{2100, 1900}, Size: 16}),
		r.schedule("slope", "D1, downlight, 76, 900, 900\nD2, downlight, 76, 2100, 900\nD3, downlight, 76, 3300, 900\nSD, "+
			"sensor, 0, 2100, 1900"))
	r.on(26, "13:10", r.tape(&s.electrician, "D1 D2 D3 SD", append(every, "ridge beam")...),
		r.offer(&s.electrician, words.FirstFix))
	r.on(25, "16:40", r.sign(words.FirstFix, "looked at with Ola"))
	r.on(24, "09:30", r.schedule("slope", "D4, downlight, 76, 3300, 1900"))
	r.on(23, "08:00", r.tape(&s.electrician, "D4", append(every, "ridge beam")...),
		r.offer(&s.electrician, words.FirstFix))
	r.on(23, "16:30", r.sign(words.FirstFix, "one more light over the bed, as the client asked"))
	r.on(22, "08:00", r.seen(&s.electrician, ""), r.photo("slope"))
	r.on(15, "15:15", r.putOn(&s.dryLiner, "slope", "board"), r.offer(&s.dryLiner, words.Boarding))
	r.on(14, "16:50", r.sign(words.Boarding, "measured again at the reveal"))
	r.on(2, "14:30", r.putOn(&s.plasterer, "slope", "skim", "low wall"))
}
