package mesh

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// TestPointList asks for every point back, to the last bit: of lists that float32
// can hold, of others, and of ones that turn out to be the others late.
func TestPointList(t *testing.T) {
	const n = blockRows + 100
	for _, fine := range []int{-1, 0, 1, blockRows, n - 1} {
		var l pointList
		point := func(i int) r3.Vec {
			p := r3.Vec{X: float64(i) / 8, Y: -float64(i), Z: math.Copysign(0, -1)}
			if i == fine {
				p.Y = 0.1
			}
			return p
		}
		for range 2 { // again once it is cleared
			for i := range n {
				if l.len() != i {
					t.Fatalf("%d points, want %d", l.len(), i)
				}
				l.add(point(i))
			}
			for i := range n {
				got, want := l.at(int32(i)), point(i)
				if got != want || math.Signbit(got.Z) != math.Signbit(want.Z) {
					t.Fatalf("the finer point is %d: point %d is %v, want %v", fine, i, got, want)
				}
			}
			if short := l.long.len() == 0; short != (fine < 0) {
				t.Errorf("the finer point is %d: kept as float32: %t", fine, short)
			}
			l.clear()
		}
	}
}
