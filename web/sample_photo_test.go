package web

func photoField(on, of string, choices ...Option) *PhotoField {
	return &PhotoField{Action: utilityAt.Photos(), Token: "tok", On: on, Of: of, Choices: choices}
}

func photoRows() []PhotoRow {
	return []PhotoRow{
		{ID: "f1", Of: "The ceiling", Says: "tails D1 to D4, before the boards", By: "Ines Quill", At: daysBefore(9),
			Picture: true, Width: 320, Height: 240, Strike: utilityAt.StrikePhoto("f1")},
		{ID: "f2", Of: "D4", Says: "on Ines's phone", By: "Ines Quill", At: cannedDate, Strike: utilityAt.StrikePhoto("f2")},
		{ID: "f3", Of: "The south wall", By: "Ola Brandt", At: cannedDate, Picture: true, Width: 240, Height: 320,
			Struck: "it is the west wall"},
	}
}

func photoSamples() []sample {
	full := PhotosView{Sheet: sheetFor(dryLiner, "Photos", utilityAt,
		say("Choose what the photo shows, take it, and put it on record.")),
		Field:  photoField("", "", Option{"surface/s1", "Ceiling"}, Option{"position/q4", "D4"}),
		Groups: []PhotoGroup{{"Ceiling", photoRows()}}}
	mend := full
	mend.Groups = nil
	mend.Typed = typed(wrong("picture", "the picture is over 15 MB",
		"Set the camera to a smaller picture and take it again"))
	mend.Field = photoField("position/q4", "", full.Field.Choices...)
	mend.Field.Says, mend.Field.Faults = "behind the stud <left>", mend.Faults
	done := full
	done.Field = nil
	return []sample{canned(Photos, "", full), canned(Photos, "mend", mend), canned(Photos, "frozen", done)}
}
