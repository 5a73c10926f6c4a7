package field

import "math"

// spot is the point of the surface found for a coarse voxel.
type spot struct {
	way  point // to it
	foot int32 // it, or on the same face
}

// fillVoxels is how far off a distance may be that is filled in, were those of the
// coarse voxels exact.
const fillVoxels = 0.25

// fill measures the voxels of planes 2k and 2k+1 from the coarse voxels around each, the
// corners c of an edge, a side or all of a cube, in whose middle p it is.
//
// Its squared distance is at most that to any point found for a corner, and at least
// mean d(c)² − |p − c|²: the mean of the squares |c − q|² is |p − q|² + |p − c|² for
// every point q, the nearest of the surface too (Apollonius's theorem), and d(c) is at
// most |c − q|. Between the two lies, where the surface is smooth, the length of the
// mean of the ways from the corners to the surface. It is taken where both are within
// fillVoxels of it; else search looks for the nearest foot.
func (b *build) fill(k int) {
	c := b.coarse()
	row := make([]ends, c[0])
	for j := range (b.f.N[1] + 1) / 2 {
		var rows [4][]spot // of coarse voxels: bits y, z
		for r := range rows {
			y, z := min(j+r&1, c[1]-1), min(k+r>>1, c[2]-1)
			rows[r] = b.spots[(z*c[1]+y)*c[0]:][:c[0]]
		}
		for i := range row {
			row[i].sum(&rows, i)
		}
		for r := range rows {
			if y, z := 2*j+r&1, 2*k+r>>1; y < b.f.N[1] && z < b.f.N[2] {
				b.fillRow(row, r, y, z)
			}
		}
	}
}

// fillRow measures the voxels of a row, which is row r of the cubes between the ends.
func (b *build) fillRow(ends []ends, r, y, z int) {
	nx, band := b.f.N[0], b.stripesOf(y, z)
	row := b.f.Distance[(z*b.f.N[1]+y)*nx:][:nx]
	var across sums
	for x := range row {
		if has(band, x) {
			continue
		}
		s, halves := &ends[x/2][r], halvesOf[r]
		if x&1 == 1 {
			across.join(s, &ends[x/2+1][r], point{1, 0, 0})
			s, halves = &across, halves+1
		}
		row[x] = b.amid(s, halves, x, y, z)
	}
}

// halvesOf is how many of the axes y, z the rows of a cube are half-way along.
var halvesOf = [4]int{0, 1, 1, 2}

// sums are over the corners of an edge, a side, or all of a cube.
type sums struct {
	way     point
	squares float32 // of the ways
	nearest point   // from the middle to what one of the ways leads to, as a rule the nearest
}

// ends are the sums at an end of the four rows of a cube.
type ends [4]sums

// sum sums up voxels i of rows of coarse voxels.
func (s *ends) sum(rows *[4][]spot, i int) {
	var corners ends
	for r, row := range rows {
		way := row[i].way
		corners[r] = sums{way, way.dot(way), way}
	}
	var far sums
	s[0] = corners[0]
	s[1].join(&corners[0], &corners[1], point{0, 1, 0})
	s[2].join(&corners[0], &corners[2], point{0, 0, 1})
	far.join(&corners[2], &corners[3], point{0, 1, 0})
	s[3].join(&s[1], &far, point{0, 0, 1})
}

// join sums up the corners at two ends, from each of which it is so far to the middle.
func (s *sums) join(a, b *sums, half point) {
	s.way = point{a.way.x + b.way.x, a.way.y + b.way.y, a.way.z + b.way.z}
	s.squares = a.squares + b.squares
	p, q := a.nearest, b.nearest
	p = point{p.x - half.x, p.y - half.y, p.z - half.z}
	q = point{q.x + half.x, q.y + half.y, q.z + half.z}
	s.nearest = p
	if q.dot(q) < p.dot(p) {
		s.nearest = q
	}
}

// bounds returns what the squared distance of the middle is at least and at most, when
// that is half-way along so many axes.
func (s *sums) bounds(halves int) (low, high float32) {
	return s.squares/float32(int(1)<<halves) - float32(halves), s.nearest.dot(s.nearest)
}

// amid returns the distance of voxel x, y, z, which is in the middle of the sums.
func (b *build) amid(s *sums, halves, x, y, z int) float32 {
	low, high := s.bounds(halves)
	d2 := s.way.dot(s.way) / float32(int(1)<<(2*halves))
	if d2 < low {
		d2 = high
	}
	if d2 < bandVoxels*bandVoxels {
		d2 = bandVoxels * bandVoxels
	}
	if low < bandVoxels*bandVoxels {
		low = bandVoxels * bandVoxels
	}
	d := sqrt32(d2)
	if high <= (d+fillVoxels)*(d+fillVoxels) && low >= (d-fillVoxels)*(d-fillVoxels) {
		return d
	}
	return b.search(low, x, y, z)
}

// walkVoxels is how far improve has to go at most along the surface from the foot
// of a coarse voxel to that of a voxel beside it, as a rule.
const walkVoxels = 2

// search returns the distance of voxel x, y, z, the square of which is at least low: to
// the nearest of the points found for the coarse voxels around it if that is near
// enough. Else it goes out from there, then from those that are apart from what it
// found.
func (b *build) search(low float32, x, y, z int) float32 {
	var found [18]spot // seen from the voxel
	around := b.around(found[:0], x, y, z)
	best, nearest := float32(math.MaxFloat32), int32(0)
	for i := range around {
		s := &around[i]
		if d2 := s.way.dot(s.way); d2 < best {
			best, nearest = d2, s.foot
		}
	}
	d := sqrt32(best)
	if low >= (d-fillVoxels)*(d-fillVoxels) {
		return d
	}
	l := b.lookFrom(point{float32(x), float32(y), float32(z)})
	l.try(nearest)
	b.tryBeside(&l)
	l.improve()
	way := l.way()
	best = min(best, way.dot(way))
	for i := range around {
		s := &around[i]
		apart := s.way.to(l.at.to(l.foot))
		if apart.dot(apart) > stepVoxels*stepVoxels && s.way.dot(s.way) < best+walkVoxels*walkVoxels {
			other := b.lookFrom(l.at)
			other.try(s.foot)
			other.improve()
			way = other.way()
			best = min(best, way.dot(way))
		}
	}
	return sqrt32(best)
}

// tryBeside tries the feet of the voxels beside one that are in the band.
func (b *build) tryBeside(l *look) {
	for _, step := range [6]point{{x: 1}, {x: -1}, {y: 1}, {y: -1}, {z: 1}, {z: -1}} {
		if _, id := b.bandAt(l.at.plus(step)); id >= 0 {
			l.try(id)
		}
	}
}

// around lists the spots of the coarse voxels within two voxels of voxel x, y, z along
// every axis.
func (b *build) around(list []spot, x, y, z int) []spot {
	c := b.coarse()
	for k := max(0, z-1) / 2; k <= min((z+2)/2, c[2]-1); k++ {
		for j := max(0, y-1) / 2; j <= min((y+2)/2, c[1]-1); j++ {
			row := b.spots[(k*c[1]+j)*c[0]:][:c[0]]
			for i := max(0, x-1) / 2; i <= min((x+2)/2, c[0]-1); i++ {
				s := row[i]
				s.way = point{s.way.x + float32(2*i-x), s.way.y + float32(2*j-y), s.way.z + float32(2*k-z)}
				list = append(list, s)
			}
		}
	}
	return list
}
