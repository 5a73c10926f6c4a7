package field

import "math"

// look is the search for the foot nearest to a voxel.
type look struct {
	*build
	at   point
	id   int32 // of the foot found; −1 for none
	foot point
	away point   // from the foot
	best float32 // squared distance
}

func (b *build) lookFrom(at point) look {
	return look{build: b, at: at, id: -1, best: math.MaxFloat32}
}

// try takes the foot if it is nearer.
func (l *look) try(id int32) bool {
	f := l.feet[id].point
	v := f.to(l.at)
	d2 := v.dot(v)
	if d2 < l.best {
		l.id, l.foot, l.away, l.best = id, f, v, d2
		return true
	}
	return false
}

const (
	// lookVoxels is how far from a foot improve looks for a better one: as far as
	// the voxel there is as a rule still in the band.
	lookVoxels = 1.35
	// stepVoxels is how far it steps at most along the surface, and looks is how
	// often.
	stepVoxels = 3
	looks      = 4
	// goodVoxels is the error it leaves alone.
	goodVoxels = 0.02
)

// improve looks for a nearer foot: at the voxel of the band on the way to the one
// it has, which finds the near side of walls thinner than a voxel, then step by
// step along the surface, since a row passes on feet that are nearest to the row
// only.
func (l *look) improve() {
	for range looks {
		t := lookVoxels / sqrt32(l.best)
		at, id := l.bandAt(point{l.foot.x + t*l.away.x, l.foot.y + t*l.away.y, l.foot.z + t*l.away.z})
		if id < 0 {
			return
		}
		l.try(id)
		f := l.feet[id].point
		n, v := f.to(at), f.to(l.at)
		n2 := n.dot(n)
		if n2 < 0.25 {
			return
		}
		h := v.dot(n) / n2
		s := point{v.x - h*n.x, v.y - h*n.y, v.z - h*n.z}
		s2 := s.dot(s)
		if s2*s2 <= 4*goodVoxels*goodVoxels*l.best {
			return
		}
		along, up := min(1, stepVoxels/sqrt32(s2)), 1/sqrt32(n2)
		_, id = l.bandAt(point{f.x + along*s.x + up*n.x, f.y + along*s.y + up*n.y, f.z + along*s.z + up*n.z})
		if id < 0 || !l.try(id) {
			return
		}
	}
}

// bandAt returns the centre of the voxel at p and its foot, −1 when it is not in
// the band.
func (b *build) bandAt(p point) (point, int32) {
	x, y, z := int(p.x+0.5), int(p.y+0.5), int(p.z+0.5)
	if x < 0 || y < 0 || z < 0 || x >= b.f.N[0] || y >= b.f.N[1] || z >= b.f.N[2] {
		return point{}, -1
	}
	return point{float32(x), float32(y), float32(z)}, b.footOf(x, y, z)
}

// way returns the way to the nearest point of the face of the foot that was found,
// or to the foot if that is small.
func (l *look) way() point {
	face := l.feet[l.id].face
	if face < 0 {
		return l.at.to(l.foot)
	}
	c := l.corners(face)
	var t triangle
	t.set(c[0], c[1], c[2])
	q, _ := t.nearest(l.at.vec())
	return l.at.to(point{float32(q.x), float32(q.y), float32(q.z)})
}
