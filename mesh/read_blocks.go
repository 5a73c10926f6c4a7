package mesh

import "pourwright/mesh/large"

// blockRows is how many rows of a list lie together.
const blockRows = 1 << blockShift

const blockShift = 16

// A list is an array that grows in blocks: none of it is copied while it grows,
// so that no more memory is taken than for what is in it.
type list[T any] struct {
	blocks [][]T // all full but the last
}

// add appends v.
func (l *list[T]) add(v T) {
	last := len(l.blocks) - 1
	if last < 0 || len(l.blocks[last]) == blockRows {
		l.grow()
		last++
	}
	l.blocks[last] = append(l.blocks[last], v)
}

// grow begins a block. The first grows as slices do, for small files.
func (l *list[T]) grow() {
	if len(l.blocks) == 0 {
		l.blocks = append(l.blocks, nil)
		return
	}
	l.blocks = append(l.blocks, large.Make[T](blockRows)[:0])
}

func (l *list[T]) len() int {
	last := len(l.blocks) - 1
	if last < 0 {
		return 0
	}
	return last*blockRows + len(l.blocks[last])
}

// at returns the place of row i.
func (l *list[T]) at(i int32) *T { return &l.blocks[i>>blockShift][i&(blockRows-1)] }

// clear empties the list; the first block is kept for what comes.
func (l *list[T]) clear() {
	if len(l.blocks) > 0 {
		l.blocks[0] = l.blocks[0][:0]
		l.blocks = l.blocks[:1]
	}
}

// joined returns all rows as one slice and empties the list.
func (l *list[T]) joined() []T {
	if len(l.blocks) == 1 {
		all := l.blocks[0]
		l.blocks = nil
		return all
	}
	all := large.Make[T](l.len())[:0]
	for i, b := range l.blocks {
		all = append(all, b...)
		l.blocks[i] = nil
	}
	l.blocks = nil
	return all
}
