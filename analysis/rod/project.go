package rod

import "gonum.org/v1/gonum/spatial/r3"

// limit is a bound on how both ends of an axis move: normal·(a·from + b·to) ≥
// least, where from and to are their moves.
type limit struct {
	normal r3.Vec
	a, b   float64
	least  float64
}

// projectSweeps is enough for the moves to settle to a thousandth of a step
// where walls are not nearly opposite.
const projectSweeps = 120

// project returns the move of both ends nearest to the one wished that keeps all
// limits, by dual coordinate ascent. Where they contradict each other it ends
// somewhere between. Source: Hildreth, "A quadratic programming procedure",
// Naval Research Logistics Quarterly 4, 1957 (from memory).
func project(wish Segment, limits []limit) Segment {
	price := make([]float64, len(limits))
	x := wish
	for range projectSweeps {
		most := 0.0
		for i, l := range limits {
			size := r3.Norm2(l.normal) * (l.a*l.a + l.b*l.b)
			if size == 0 {
				continue
			}
			short := l.least - l.a*r3.Dot(l.normal, x.From) - l.b*r3.Dot(l.normal, x.To)
			next := max(0, price[i]+short/size)
			change := next - price[i]
			if change == 0 {
				continue
			}
			price[i] = next
			x.From = r3.Add(x.From, r3.Scale(change*l.a, l.normal))
			x.To = r3.Add(x.To, r3.Scale(change*l.b, l.normal))
			most = max(most, change, -change)
		}
		if most < 1e-9*(1+r3.Norm(wish.From)+r3.Norm(wish.To)) {
			break
		}
	}
	return x
}
