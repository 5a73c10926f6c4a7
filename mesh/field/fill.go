package field

import "math"

// spot is the point of the surface found for a coarse voxel.
type spot struct {
	way  point // to it
	foot int32 // it, or on the same face
}

// pair is two corners of a cube of coarse voxels that a voxel is half-way between.
type pair struct {
	a, b int   // as bits x, y, z
	half point // of the way from a to b
}

// pairs lists the pairs of corners around each voxel of a cube, which is named as the
// corners are but by steps of one voxel.
var pairs = func() (list [8][]pair) {
	step := func(a, o, bit int) float32 { return float32((o >> bit & 1) * (1 - 2*(a>>bit&1))) }
	for o := range list {
		for a := range o + 1 {
			if a&^o == 0 && a < a^o {
				list[o] = append(list[o], pair{a, a ^ o, point{step(a, o, 0), step(a, o, 1), step(a, o, 2)}})
			}
		}
	}
	return list
}()

// fillVoxels is how far off a distance may be that is filled in.
const fillVoxels = 0.25

// fill measures the voxels of planes 2k and 2k+1.
func (b *build) fill(k int) {
	c := b.coarse()
	for j := range (b.f.N[1] + 1) / 2 {
		var rows [4][]spot // of coarse voxels: bits y, z
		for r := range rows {
			y, z := min(j+r&1, c[1]-1), min(k+r>>1, c[2]-1)
			rows[r] = b.spots[(z*c[1]+y)*c[0]:][:c[0]]
		}
		b.fillRow(&rows, j, k)
	}
}

// fillRow measures the voxels of the rows beside 2j, 2k.
func (b *build) fillRow(rows *[4][]spot, j, k int) {
	n := b.f.N
	var cube [8]spot
	for r, row := range rows {
		cube[2*r+1] = row[0]
	}
	for i := range (n[0] + 1) / 2 {
		for r, row := range rows {
			cube[2*r], cube[2*r+1] = cube[2*r+1], row[min(i+1, len(row)-1)]
		}
		for o := range cube {
			x, y, z := 2*i+o&1, 2*j+o>>1&1, 2*k+o>>2
			if x >= n[0] || y >= n[1] || z >= n[2] {
				continue
			}
			at := (z*n[1]+y)*n[0] + x
			if b.foot[at] < 0 {
				b.f.Distance[at] = b.amid(&cube, o, x, y, z)
			}
		}
	}
}

// amid returns the distance of voxel o of a cube.
func (b *build) amid(cube *[8]spot, o, x, y, z int) float32 {
	if o == 0 {
		w := cube[0].way
		return sqrt32(w.dot(w))
	}
	low, high, middle := float32(bandVoxels*bandVoxels), float32(math.MaxFloat32), float32(math.MaxFloat32)
	for i := range pairs[o] {
		p := &pairs[o][i]
		v, w, u := cube[p.a].way, cube[p.b].way, p.half
		u2, mean, apart := u.dot(u), (v.dot(v)+w.dot(w))/2, v.to(w)
		low = max(low, mean-u2)
		high = min(high, v.dot(v)-2*u.dot(v)+u2, w.dot(w)+2*u.dot(w)+u2)
		if a2 := apart.dot(apart); a2 <= 4*u2 {
			middle = min(middle, mean-a2/4)
		}
	}
	d := sqrt32(max(low, min(middle, high)))
	if high > (d+fillVoxels)*(d+fillVoxels) || low < (d-fillVoxels)*(d-fillVoxels) {
		return b.search(x, y, z)
	}
	return d
}

// search returns the distance of voxel x, y, z. It goes out from the nearest of the
// feet of the coarse voxels around it, then from those that are apart from what it
// found.
func (b *build) search(x, y, z int) float32 {
	c := b.coarse()
	around := make([]int32, 0, 18)
	l := b.lookFrom(point{float32(x), float32(y), float32(z)})
	for k := max(0, z-1) / 2; k <= min((z+2)/2, c[2]-1); k++ {
		for j := max(0, y-1) / 2; j <= min((y+2)/2, c[1]-1); j++ {
			for i := max(0, x-1) / 2; i <= min((x+2)/2, c[0]-1); i++ {
				id := b.spots[(k*c[1]+j)*c[0]+i].foot
				around = append(around, id)
				l.try(id)
			}
		}
	}
	l.improve()
	way := l.way()
	d2 := way.dot(way)
	for _, id := range around {
		if s := l.foot.to(b.feet[id].point); s.dot(s) > stepVoxels*stepVoxels {
			other := b.lookFrom(l.at)
			other.try(id)
			other.improve()
			way = other.way()
			d2 = min(d2, way.dot(way))
		}
	}
	return sqrt32(d2)
}
