#!/bin/sh
# Make the STL files of this folder and reference.json from published packages, again from nothing.
# Nothing but this script needs a C++ compiler, CGAL or VTK: the tests read the files it leaves here.
#
# On Debian 12:
#   apt-get install g++ libcgal-dev libeigen3-dev libgmp-dev libmpfr-dev python3-vtk9 npm
set -eu
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# The collections, by package and version.
(cd "$work" && apt-get download -q libcgal-demo=5.5.1-2 && dpkg-deb -x libcgal-demo_*.deb cgal)
(cd "$work" && npm pack --silent stl-models@0.12.0 && tar xzf stl-models-0.12.0.tgz)
tar xzf "$work/cgal/usr/share/doc/libcgal-dev/data.tar.gz" -C "$work"

for program in convert measure; do
	g++ -O2 -std=c++17 -I/usr/include/eigen3 "$here/reference/$program.cpp" -o "$work/$program" -lmpfr -lgmp
done

# Binary STL, float32, triangles in the order of the original file.
for name in bear bones elephant femur hand knot1 lion-head; do
	"$work/convert" "$work/data/meshes/$name.off" "$here/$name.stl"
done
# This one is binary STL already and is taken as it is.
cp "$work/package/objects/gearwheel.bin.stl" "$here/gearwheel.stl"
chmod 644 "$here/gearwheel.stl"

/usr/bin/python3 "$here/reference/collect.py" "$work/measure" "$here"
