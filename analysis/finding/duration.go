package finding

import (
	"fmt"
	"math"
)

// Duration words a time as a maker would, in findings and in tables alike: seconds below a
// minute, minutes in two figures, hours and minutes, from a day on hours,
// from ten on days.
func Duration(seconds float64) string {
	if minutes := seconds / 60; seconds < 59.5 {
		return twoFigures(seconds) + " s"
	} else if minutes < 59.5 {
		return twoFigures(max(1, minutes)) + " min"
	}
	minutes := math.Round(seconds / 60)
	hours, rest := math.Floor(minutes/60), math.Mod(minutes, 60)
	switch {
	case hours >= 240:
		return fmt.Sprintf("%.0f days", math.Round(hours/24))
	case rest == 0:
		return fmt.Sprintf("%.0f h", hours)
	case hours >= 24:
		return fmt.Sprintf("%.0f h", math.Round(seconds/3600))
	}
	return fmt.Sprintf("%.0f h %.0f min", hours, rest)
}

// twoFigures writes a figure below 9.5 in two figures, one above as a whole.
func twoFigures(x float64) string {
	if x < 9.5 {
		return fmt.Sprintf("%.2g", x)
	}
	return fmt.Sprintf("%.0f", x)
}
