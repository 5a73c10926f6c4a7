package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Rooms that people pour in, °C.
const coldestC, warmestC = 1, 45

// Temperature reads the temperature of a room, such as 21C, 21 °C or 70F, and
// returns it in °C.
func Temperature(text string) (float64, error) {
	typed := strings.TrimSpace(strings.ReplaceAll(plain(text), "°", ""))
	number, fahrenheit := strings.CutSuffix(typed, "f")
	if !fahrenheit {
		var celsius bool
		if number, celsius = strings.CutSuffix(typed, "c"); !celsius {
			return 0, &Error{fmt.Sprintf("%q does not say degrees of what", text), "write it such as 21C or 70F"}
		}
	}
	t, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if err != nil || math.IsNaN(t) {
		return 0, &Error{fmt.Sprintf("%q is not a temperature", text), "write it such as 21C or 70F"}
	}
	if fahrenheit {
		t = rounded((t - 32) / 1.8)
	}
	if !(t >= coldestC && t <= warmestC) {
		return 0, &Error{fmt.Sprintf("%q is no room to pour rubber in", text), "give the temperature of the room, such as 21C or 70F"}
	}
	return t, nil
}
