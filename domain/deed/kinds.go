package deed

import (
	"encoding/json"
	"fmt"
)

// Kinds are all sorts of deeds. Kinds of phones come first.
var Kinds = index(measureSort, correctSort, strikeSort, seeTailsSort, putOnSort, finishSort, openHoleSort, owePatchSort,
	fillPatchSort, dryPatchSort, noteSnagSort, closeSnagSort, offerSort,
	unseeTailSort, correctOutcomeSort, signOffSort, reopenSort, scheduleSort, changePositionSort, moveOffSort, holdSort,
	releaseSort, omitSort, wantAgainSort, changeRoomSort, addSurfaceSort, addDatumSort, removeDatumSort, staysBareSort,
	planSort, addTimbersSort, removeTimberSort, addWaySort, removeWaySort, takePhotoSort, strikePhotoSort)

func index(all ...Sort) map[Kind]*Sort {
	out := map[Kind]*Sort{}
	for i := range all {
		out[all[i].Kind] = &all[i]
	}
	return out
}

// FromPhones reports whether phones send deeds of this sort.
func (o *Sort) FromPhones() bool { return o.At != "" }

// Decode reads a deed as it is stored, of every version. The error says what
// cannot be read.
func Decode(k Kind, text json.RawMessage) (Deed, error) {
	of, ok := Kinds[k]
	if !ok {
		return nil, fmt.Errorf("there is no deed of kind %q", k)
	}
	return of.json(text)
}

// Encode writes a deed as it is stored, in today's version.
func Encode(d Deed) (json.RawMessage, error) { return pack(d) }

// stored reads a stored deed of one type.
func stored[D Deed](text json.RawMessage) (Deed, error) {
	d, err := unpack[D](text)
	if err != nil {
		return nil, fmt.Errorf("a deed of kind %q cannot be read: %w", D.Kind(*new(D)), err)
	}
	return d, nil
}
