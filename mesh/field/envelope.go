package field

// envelope is the lower envelope of parabolas over the integers of a line that are
// not negative.
type envelope struct {
	count   int
	at, key []float64 // place of the lowest point; height there plus its square
	id      []int32
	from    []int32 // first integer where it is the lowest
}

func newEnvelope(n int) *envelope {
	return &envelope{at: make([]float64, n), key: make([]float64, n), id: make([]int32, n), from: make([]int32, n)}
}

func (e *envelope) start() { e.count = 0 }

// add adds a parabola whose lowest point is not left of those before. Where two
// are equal the first wins.
func (e *envelope) add(at, height float64, id int32) {
	key, from := height+at*at, 0
	for e.count > 0 {
		last := e.count - 1
		apart := at - e.at[last]
		if apart > 0 {
			x := (key - e.key[last]) / (2 * apart)
			if x >= float64(len(e.at)-1) {
				return
			}
			from = 0
			if x >= 0 {
				from = int(x) + 1
			}
			if from > int(e.from[last]) {
				break
			}
		} else if key >= e.key[last] {
			return
		}
		e.count--
		from = 0
	}
	e.at[e.count], e.key[e.count], e.id[e.count], e.from[e.count] = at, key, id, int32(from)
	e.count++
}

// each visits the even integers below 2n, from left to right, halved.
func (e *envelope) each(n int, visit func(half int, id int32)) {
	half := 0
	for k := range e.count {
		to := n
		if k+1 < e.count {
			to = min(n, (int(e.from[k+1])+1)/2)
		}
		for ; half < to; half++ {
			visit(half, e.id[k])
		}
	}
}
