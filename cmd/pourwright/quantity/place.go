package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Direction reads three numbers, such as 0,0,-1.
func Direction(text string) ([3]float64, error) {
	d, read := numbers(text, 3)
	longest := 0.0
	for _, x := range d {
		longest = math.Max(longest, math.Abs(x))
	}
	// Outside these a direction's length cannot be computed.
	if !read || longest < 1e-100 || longest > 1e100 {
		return [3]float64{}, &Error{fmt.Sprintf("%q is not a direction", text), "give three numbers x,y,z in the scan's own axes that are not all zero, such as 0,0,-1"}
	}
	return [3]float64(d), nil
}

// Point reads the three coordinates of a point, mm, such as 12,0,40.5.
func Point(text string) ([3]float64, error) {
	p, read := numbers(text, 3)
	if !read {
		return [3]float64{}, &Error{fmt.Sprintf("%q is not a point", text), "give its place x,y,z in the scan's own axes, in mm, such as 12,0,40.5"}
	}
	return [3]float64(p), nil
}

// Ball reads the middle of a ball and its radius, mm, such as 12,0,40.5,8.
func Ball(text string) ([4]float64, error) {
	b, read := numbers(text, 4)
	if !read || b[3] <= 0 {
		return [4]float64{}, &Error{fmt.Sprintf("%q is not a ball", text), "give its middle and radius x,y,z,r in the scan's own axes, in mm, such as 12,0,40.5,8"}
	}
	return [4]float64(b), nil
}

// numbers reads n finite numbers with commas between them.
func numbers(text string, n int) ([]float64, bool) {
	parts := strings.Split(plain(text), ",")
	if len(parts) != n {
		return make([]float64, n), false
	}
	read := make([]float64, n)
	for i, part := range parts {
		x, err := strconv.ParseFloat(strings.TrimSpace(part), 64)
		if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			return read, false
		}
		read[i] = x
	}
	return read, true
}
