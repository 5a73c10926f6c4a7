// Package implicit describes solids by what is inside them and turns them into
// triangle meshes: signed distance fields, the few ways to join them, solids
// of revolution, sweeps along a curve, and extraction of the surface.
//
// Lengths are millimetres. A Field is negative inside, positive outside and
// close to the distance near its surface.
package implicit
