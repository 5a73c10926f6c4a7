package mix

import (
	"fmt"
	"math"

	"pourwright/analysis/finding"
)

// Data sheets give times for this room, °C; ten degrees more halve them, as
// most reactions near room warmth go (common practice, no source).
const (
	dataSheetC   = 23
	halvingByC   = 10
	coldC, warmC = 15, 30 // outside these a room is no place to pour
)

// potLife returns the pot life in s at the room's temperature.
func (in Input) potLife() float64 {
	return in.Rubber.PotLifeS * math.Exp2((dataSheetC-in.RoomC)/halvingByC)
}

func (in Input) roomDoubts(tell func(finding.Level, string, string)) {
	if in.RoomC < coldC || in.RoomC > warmC {
		tell(finding.Warn,
			fmt.Sprintf("The room is at %g °C; data sheets speak of about %d °C.", in.RoomC, dataSheetC),
			"Bring room, rubber and pattern to 20 to 25 °C for a day before you pour: cold rubber may never set, warm rubber sets in the cup.")
	}
}
