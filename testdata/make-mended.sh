#!/bin/sh
# Make mended.json: break the closed meshes of this repository, mend them, and have CGAL, VTK and admesh
# judge what comes of it. mesh/mended_test.go compares with the figures kept here and needs none of them.
# Run it again after a change to mending that is meant to change its results.
#
# On Debian 12:
#   apt-get install g++ libcgal-dev libeigen3-dev libgmp-dev libmpfr-dev python3-vtk9 admesh
set -eu
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

for program in mended mended_union; do
	g++ -O2 -std=c++17 -I/usr/include/eigen3 "$here/reference/$program.cpp" -o "$work/$program" -lmpfr -lgmp
done
(cd "$here/.." && go run ./testdata/reference/mended.go "$work")
/usr/bin/python3 "$here/reference/mended.py" "$work/mended" "$work/mended_union" "$work" "$here/mended.json"
