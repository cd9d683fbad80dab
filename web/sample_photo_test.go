package web

import (
	"lathmark/domain/id"
	"lathmark/domain/room"
)

func photoField(on, of string, choices ...Option) *PhotoField {
	return &PhotoField{Action: utilityAt.Photos(), Token: "tok", On: on, Of: of, Choices: choices}
}

func photoRows() []PhotoRow {
	return []PhotoRow{
		{Photo: &room.Photo{ID: numbered[id.Photo](1), Says: "tails D1 to D4, before the boards", At: daysBefore(9),
			Picture: room.Picture{SHA256: room.Sum{1}}}, Of: "The ceiling", Who: "Ines Quill",
			Width: 320, Height: 240, Strike: utilityAt.StrikePhoto("f1")},
		{Photo: &room.Photo{ID: numbered[id.Photo](2), Says: "on Ines's phone", At: cannedDate}, Of: "D4",
			Who: "Ines Quill", Strike: utilityAt.StrikePhoto("f2")},
		{Photo: &room.Photo{ID: numbered[id.Photo](3), At: cannedDate, StruckWhy: "it is the west wall",
			Picture: room.Picture{SHA256: room.Sum{2}}}, Of: "The south wall", Who: "Ola Brandt", Width: 240, Height: 320},
	}
}

func photoSamples() []sample {
	full := PhotosView{Sheet: sheetFor(dryLiner, "Photos", utilityAt,
		say("Choose what the photo shows, take it, and save it.")),
		Field:  photoField("", "", Option{"surface/s1", "Ceiling"}, Option{"position/q4", "D4"}),
		Groups: []PhotoGroup{{"Ceiling", photoRows()}}}
	mend := full
	mend.Groups = nil
	mend.Typed = typed(wrong("picture", "the picture is over 15 MB",
		"Set the camera to a smaller picture and take it again"))
	mend.Field = photoField("", "", full.Field.Choices...)
	mend.Field.Typed = typed(mend.Faults...).with("on", "position/q4", "says", "behind the stud <left>")
	done := full
	done.Field = nil
	return []sample{canned(Photos, "", full), canned(Photos, "mend", mend), canned(Photos, "frozen", done)}
}
