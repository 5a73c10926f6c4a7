// Package mesh answers "what is this object?": it reads a scan, welds and
// checks it, and measures, sections and clips it. It knows nothing of molds.
//
// Lengths are millimetres, frames are right-handed, and a face lists its three
// corners counter-clockwise as seen from outside. A Mesh is anything that was
// read; a Solid is a Mesh that passed Check (closed, consistently wound,
// outward), and only a Solid has a volume. Meshes are never changed after they
// are made: functions return new ones.
package mesh
