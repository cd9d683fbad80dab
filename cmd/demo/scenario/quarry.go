package scenario

import (
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

const sides = "measured twice from opposite walls; there is no steel in this room"

// hall is finished.
func (s *site) hall() {
	r := s.room(&s.quarry, "Hall")
	r.on(39, "07:40", r.draw(words.Hall, 1, 2500, box(4200, 1900), overhead), r.plan("ceiling", ceiling),
		r.plan("ceiling", stud, "south wall", "north wall"),
		r.plan("ceiling", brick, "east wall", "west wall"), r.timbers("ceiling", "J", 300, 400, 47, 195),
		r.schedule("ceiling", "D1, downlight, 76, 500, 950\nD2, downlight, 76, 2100, 950\nD3, downlight, 76, 3700, "+
			"950\nP1, pendant, 22, 2900, 950\nSD, sensor, 0, 3700, 450"))
	r.on(38, "08:10", r.tape(&s.electrician, "D1 D2 D3 P1 SD", "south wall", "north wall", "west wall", "east wall"),
		r.offer(&s.electrician, words.FirstFix))
	r.on(38, "16:20", r.sign(words.FirstFix, sides))
	r.on(37, "07:50", r.seen(&s.electrician, ""), r.photo("ceiling"))
	r.on(36, "08:00", r.putOn(&s.dryLiner, "ceiling", "board"), r.offer(&s.dryLiner, words.Boarding))
	r.on(36, "16:40", r.sign(words.Boarding, "looked at with the dry liner"))
	r.on(34, "13:30", r.putOn(&s.plasterer, "ceiling", "skim"), r.finished(&s.plasterer, words.Plaster),
		r.offer(&s.plasterer, words.Plaster))
	r.on(33, "07:35", r.sign(words.Plaster, ""))
	r.on(30, "15:10", r.omit("D3", "the client keeps the old lantern there"))
	r.on(28, "08:20", r.found(&s.electrician, "D1"), r.found(&s.electrician, "D2"), r.found(&s.electrician, "SD"),
		r.open(&s.electrician, "P1", words.OnTimber, "a noggin that nobody had drawn", true), r.offer(&s.electrician,
			words.SecondFix))
	r.on(27, "07:30", r.sign(words.SecondFix, "the plaster is pale all over"))
	r.on(26, "10:00", r.filled("P1", 2), r.snag(&s.foreman, "a knock in the skirting by the stairs", words.Decorator))
	r.on(22, "14:00", r.mended(&s.decorator), r.offer(&s.decorator, words.Decoration))
	r.on(22, "16:30", r.sign(words.Decoration, ""))
}

// sittingRoom waits for a patch to dry and for a snag.
func (s *site) sittingRoom() {
	r := s.room(&s.quarry, "Sitting room")
	outline := []roomsheet.Point{{0, 0}, {5200, 0}, {5200, 3900}, {3300, 3900}, {3300, 3550}, {1900, 3550}, {1900, 3900},
		{0, 3900}}
	walls := []string{"south wall", "east wall", "north wall right", "chimney breast, right return", "chimney breast",
		"chimney breast, left return",
		"north wall left", "west wall"}
	r.on(35, "07:40", r.drawn(room.Draft{Place: 2, Use: words.LivingRoom, Height: 2500, Outline: outline, Called: walls,
		Surfaces: []room.SurfaceDraft{overhead}}),
		r.plan("ceiling", ceiling), r.plan("ceiling", brick, walls...),
		r.line("ceiling", "steel", roomsheet.Point{0, 2000}, roomsheet.Point{5200, 2000}), r.timbers("ceiling", "J", 350, 400,
			47, 195),
		r.schedule("ceiling", "D1, downlight, 76, 950, 1000\nD2, downlight, 76, 2550, 1000\nD3, downlight, 76, 4150, 1000\n"+
			"D4, downlight, 76, 950, 2900\nD5, downlight, 76, 2550, 2900\nD6, downlight, 76, 4150, 2900\n"+
			"P1, pendant, 22, 2950, 1800"))
	r.on(33, "08:05", r.tape(&s.electrician, "D1 D2 D3 D4 D5 D6 P1", "south wall", "steel", "west wall", "east wall"),
		r.offer(&s.electrician, words.FirstFix))
	r.on(32, "16:45", r.sign(words.FirstFix, sides))
	r.on(31, "07:45", r.seen(&s.electrician, ""), r.photo("ceiling"))
	r.on(29, "15:00", r.putOn(&s.dryLiner, "ceiling", "board"), r.offer(&s.dryLiner, words.Boarding))
	r.on(29, "16:50", r.sign(words.Boarding, "the wall was out of plumb there; measured again"))
	r.on(25, "14:20", r.putOn(&s.plasterer, "ceiling", "skim"), r.finished(&s.plasterer, words.Plaster),
		r.offer(&s.plasterer, words.Plaster))
	r.on(24, "07:40", r.sign(words.Plaster, ""))
	r.on(9, "08:00", r.found(&s.electrician, "D1"), r.found(&s.electrician, "D2"),
		r.open(&s.electrician, "D3", words.HookedOut, "it lay flat on the board", false),
		r.found(&s.electrician, "D4"), r.open(&s.electrician, "D5", words.OnTimber, "a noggin that nobody had drawn", true),
		r.open(&s.electrician, "D6", words.NotFound, "pushed up by the insulation", true), r.found(&s.electrician, "P1"),
		r.offer(&s.electrician, words.SecondFix))
	r.on(8, "07:30", r.sign(words.SecondFix, "D1 was looked at before the others"))
	r.on(4, "09:15", r.filled("D5", 1), r.snag(&s.foreman, "the sill by the bay is scratched", words.Decorator),
		r.snag(&s.foreman, "a cable clip stands proud over the door", words.Electrician))
	r.on(3, "12:40", r.mended(&s.decorator))
	r.on(1, "15:30", r.filled("D6", 5))
}

// kitchen is having its holes opened; the fan is held.
func (s *site) kitchen() {
	r := s.room(&s.quarry, "Kitchen")
	const below = "south wall"
	r.on(30, "07:35", r.draw(words.Kitchen, 3, 2400, box(4800, 3600), overhead, room.SurfaceDraft{Kind: "wall", Wall: 1}),
		r.plan("ceiling", ceiling), r.plan("ceiling", brick, "south wall", "west wall"), r.plan("ceiling", stud,
			"north wall"),
		r.staysBare("ceiling", "east wall"), r.line("ceiling", "steel", roomsheet.Point{0, 2400},
			roomsheet.Point{4800, 2400}),
		r.timbers("ceiling", "J", 200, 400, 47, 195),
		r.plan(below, flooring, "floor"), r.line(below, "laser line", roomsheet.Point{0, 1000}, roomsheet.Point{4800, 1000}))
	r.on(29, "07:50", r.schedule("ceiling",
		"D1, downlight, 76, 800, 600\nD2, downlight, 76, 2400, 600\nD3, downlight, 76, 4000, 600\n"+
			"D4, downlight, 76, 800, 1800\nD5, downlight, 76, 2400, 1800\nD6, downlight, 76, 4000, 1800\n"+
			"D7, downlight, 76, 800, 3000\nD8, downlight, 76, 2400, 3000\nD9, downlight, 76, 4000, 3000\n"+
			"P1, pendant, 22, 3200, 1800\nF1, fan, 152, 1600, 3000"),
		r.schedule(below, "H1, pipe tail, 28, 1200, 550\nC1, pipe tail, 28, 1350, 550\nW1, waste, 50, 1500, 400"))
	r.on(27, "08:15", r.tape(&s.electrician, "D1 D2 D3 D4 D5 D6 D7 D8 D9 P1 F1", "south wall", "steel", "west wall"))
	r.on(27, "14:10", r.tape(&s.electrician, "D1 D3 D5 D7 D9 F1", "east wall"),
		r.way(&s.electrician, "ceiling", room.Way{Name: "to D1, D2, D3", Kind: room.HoleWay, A: roomsheet.Point{0, 1150},
			B: roomsheet.Point{4200, 1150}, Size: 20, Height: 97}))
	r.on(26, "09:00", r.tape(&s.plumber, "H1 C1 W1", "left side", "right side", "laser line", "floor"),
		r.offer(&s.plumber, words.FirstFix))
	r.on(26, "16:35", r.sign(words.FirstFix, "the steel shows the other way; the walls are square here"))
	r.on(25, "07:40", r.seen(&s.electrician, "D1 D2 D3 D4 D5 D6 D7 D8 D9 P1 F1"), r.photo("ceiling"), r.photo(below))
	r.on(25, "10:20", r.seen(&s.plumber, "H1 C1 W1"))
	r.on(22, "15:20", r.putOn(&s.dryLiner, "ceiling", "board"), r.putOn(&s.dryLiner, below, "board"),
		r.offer(&s.dryLiner, words.Boarding))
	r.on(21, "07:30", r.sign(words.Boarding, "looked at with the dry liner"))
	r.on(17, "14:45", r.putOn(&s.plasterer, "ceiling", "skim"), r.putOn(&s.plasterer, below, "skim"),
		r.finished(&s.plasterer, words.Plaster), r.offer(&s.plasterer, words.Plaster))
	r.on(16, "07:45", r.sign(words.Plaster, ""))
	r.on(12, "11:00", r.hold("F1", "you have not chosen the fan; its size decides the hole"))
	r.on(2, "08:00", r.found(&s.electrician, "D1"))
	r.on(2, "08:40", r.found(&s.electrician, "D2"), r.open(&s.electrician, "D3", words.HookedOut, "20 towards the steel",
		false),
		r.found(&s.electrician, "D4"), r.found(&s.electrician, "D5"), r.open(&s.electrician, "D6", words.OnTimber,
			"a herringbone strut between the joists", false),
		r.open(&s.electrician, "D7", words.NotFound, "pushed up by the insulation", true))
	r.on(2, "11:30", r.found(&s.plumber, "H1"), r.found(&s.plumber, "C1"))
}

// utility is at first fix, with one of everything that keeps it open.
func (s *site) utility() {
	r := s.room(&s.quarry, "Utility")
	r.on(6, "07:40", r.draw(words.Utility, 4, 2400, box(3600, 2400), overhead), r.plan("ceiling", ceiling),
		r.plan("ceiling", brick, "south wall", "west wall"),
		r.plan("ceiling", stud, "east wall"), r.line("ceiling", "steel", roomsheet.Point{0, 1500},
			roomsheet.Point{3600, 1500}),
		r.stack("ceiling", "stack", roomsheet.Point{3300, 2100}), r.timbers("ceiling", "J", 450, 600, 47, 195))
	r.on(5, "08:00", r.schedule("ceiling",
		"D1, downlight, 76, 750, 600\nD2, downlight, 76, 1950, 600\nD3, downlight, 76, 3150, 600\n"+
			"D4, downlight, 76, 750, 1800\n"+
			"F1, fan, 105, 2800, 1800\nW1, waste, 50, 3000, 2000\nS1, sensor, 60, 1950, 1800"))
	r.on(3, "08:20", r.tape(&s.electrician, "D1 D2 D3 F1", "south wall", "west wall"), r.tape(&s.electrician, "D1 D2 F1",
		"steel", "east wall"),
		r.tape(&s.electrician, "D4", "south wall"), r.unstated(&s.electrician, "S1", "west wall"), r.tape(&s.electrician,
			"S1", "north wall", "steel"))
	r.on(3, "10:30", r.way(&s.electrician, "ceiling", room.Way{Name: "to D1, D2, D3", Kind: room.HoleWay,
		A: roomsheet.Point{0, 720}, B: roomsheet.Point{3200, 720}, Size: 20, Height: 97}),
		r.way(&s.electrician, "ceiling", room.Way{Name: "to F1", Kind: room.NotchWay, A: roomsheet.Point{1900, 1250},
			B: roomsheet.Point{2900, 1250}, Size: 30}),
		r.way(&s.electrician, "ceiling", room.Way{Name: "ring main", Kind: room.HoleWay, A: roomsheet.Point{900, 1320},
			B: roomsheet.Point{3200, 1320}, Size: 70, Height: 60}))
	r.on(2, "14:10", r.misread(&s.electrician, 40, "F1", "stack"), r.tape(&s.electrician, "D2", "west wall"),
		r.misread(&s.electrician, 14, "D2", "west wall"))
}
