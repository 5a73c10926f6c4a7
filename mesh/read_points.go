package mesh

import "gonum.org/v1/gonum/spatial/r3"

// pointList holds the points of a file: as float32 for as long as that loses
// nothing, which is as files store most scans, in half the memory.
type pointList struct {
	short list[[3]float32]
	long  list[r3.Vec] // all of them, from the first on that float32 would change
}

// add appends p, which is finite as a float32.
func (l *pointList) add(p r3.Vec) {
	if l.long.len() == 0 {
		short := [3]float32{float32(p.X), float32(p.Y), float32(p.Z)}
		if vecOf32(short) == p {
			l.short.add(short)
			return
		}
		l.lengthen()
	}
	l.long.add(p)
}

func vecOf32(p [3]float32) r3.Vec {
	return r3.Vec{X: float64(p[0]), Y: float64(p[1]), Z: float64(p[2])}
}

// lengthen moves the points to long, block by block.
func (l *pointList) lengthen() {
	for i, block := range l.short.blocks {
		for _, p := range block {
			l.long.add(vecOf32(p))
		}
		l.short.blocks[i] = nil
	}
	l.short.blocks = nil
}

func (l *pointList) len() int { return l.short.len() + l.long.len() }

// at returns point i.
func (l *pointList) at(i int32) r3.Vec {
	if l.long.len() > 0 {
		return *l.long.at(i)
	}
	return vecOf32(*l.short.at(i))
}

// clear empties the list; the first block is kept for what comes.
func (l *pointList) clear() {
	l.short.clear()
	l.long.clear()
}
