#!/bin/sh
# Measure scan and mesh/field beside general geometry libraries, in one run, and write RESULTS.md.
#
#   make peers            at the root of the repository
#   ROUNDS=1 SIZES=100k CELLS=128 peers/run.sh    a quick try
#
# Needs Debian 12, Go, and root or sudo for what is not installed yet. It installs, only where missing:
#   admesh; g++, libcgal-dev, libgmp-dev, libmpfr-dev, libeigen3-dev (CGAL); python3-vtk9 (VTK's libraries;
#   its headers are unpacked into dist/peers, as their package would install two hundred others);
#   libopenvdb-dev, libtbb-dev, libimath-dev (OpenVDB).
# A library that cannot be had is left out, which is said, and the others are measured.
#
# The programs run one after the other, round by round (peers/race), on the same files (peers/inputs):
#   scan   the whole process: read, weld, check that it is closed, measure; wall clock and peak memory.
#          Ours also finds parts, inertia, the tightest box and the unit; VTK counts no parts; admesh repairs.
#   field  a mesh in memory to a grid of signed distances; only that is timed, the memory is the process's.
# What each program does is written at the head of its source, in peers/cpp and peers/field.
set -eu
cd "$(dirname "$0")/.."
here=peers
work=dist/peers
ROUNDS=${ROUNDS-5}
SIZES=${SIZES-100k 1m 5m}
CELLS=${CELLS-128 256}
mkdir -p "$work"

say() { echo "peers: $*" >&2; }

installed() { dpkg-query -W -f '${Status}' "$1" 2>/dev/null | grep -q 'ok installed'; }

version() { dpkg-query -W -f '${Version}' "$1" 2>/dev/null || echo none; }

as_root() { if [ "$(id -u)" = 0 ]; then "$@"; else sudo "$@"; fi; }

# need PEER PACKAGE...: installs what is missing, or says that the peer is left out.
need() {
	peer=$1
	shift
	missing=
	for package; do installed "$package" || missing="$missing $package"; done
	[ -z "$missing" ] && return 0
	say "$peer needs$missing; installing"
	# shellcheck disable=SC2086 # one word for each package
	if { as_root apt-get update -q && as_root apt-get install -q -y --no-install-recommends $missing; } >"$work/apt.log" 2>&1; then
		return 0
	fi
	say "$peer is left out: its packages could not be installed; see $work/apt.log"
	return 1
}

# compile PEER SOURCE OPTION...: builds a program when its sources are newer, or says that it is left out.
compile() {
	peer=$1 source=$here/cpp/$2.cpp out=$work/$2
	shift 2
	if [ -x "$out" ] && [ -z "$(find "$source" "$here/cpp" -name '*.h' -newer "$out" -o -name "${source##*/}" -newer "$out")" ]; then
		return 0
	fi
	say "compiling $source"
	if g++ -O3 -DNDEBUG -std=c++17 "$source" -o "$out" "$@" >"$work/compile.log" 2>&1; then
		return 0
	fi
	rm -f "$out"
	say "$peer is left out: $source does not compile; see $work/compile.log"
	return 1
}

vtk_headers() {
	[ -d "$work/vtk/usr/include/vtk-9.1" ] && return 0
	mkdir -p "$work/vtk"
	if (cd "$work/vtk" && apt-get download -q libvtk9-dev && dpkg-deb -x libvtk9-dev_*.deb .) >"$work/apt.log" 2>&1; then
		return 0
	fi
	say "VTK is left out: its headers could not be fetched; see $work/apt.log"
	return 1
}

vtk_libraries='-l:libvtkIOGeometry-9.1.so.1 -l:libvtkFiltersCore-9.1.so.1 -l:libvtkCommonExecutionModel-9.1.so.1
	-l:libvtkCommonDataModel-9.1.so.1 -l:libvtkCommonCore-9.1.so.1 -l:libvtksys-9.1.so.1'

peers=
need admesh admesh && peers="$peers admesh"
if need CGAL g++ libcgal-dev libgmp-dev libmpfr-dev libeigen3-dev &&
	compile CGAL scan_cgal -lmpfr -lgmp && compile CGAL field_cgal -lmpfr -lgmp -pthread; then
	peers="$peers cgal"
fi
# shellcheck disable=SC2086 # one word for each library
if need VTK g++ python3-vtk9 && vtk_headers &&
	compile VTK scan_vtk -I"$work/vtk/usr/include/vtk-9.1" $vtk_libraries; then
	peers="$peers vtk"
fi
if need OpenVDB g++ libopenvdb-dev libtbb-dev libimath-dev &&
	compile OpenVDB field_openvdb -lopenvdb -ltbb -lImath-3_1 -pthread; then
	peers="$peers openvdb"
fi
has() { case " $peers " in *" $1 "*) true ;; *) false ;; esac }

say "building and writing the inputs"
CGO_ENABLED=0 go build -trimpath -ldflags "-s -w" -o "$work/" ./cmd/pourwright ./peers/inputs ./peers/field ./peers/race
"$work/inputs" "$work"

# The plan: table, case, program, file, command, between tabs.
plan=$work/plan.tsv
: >"$plan"
enter() { printf '%s\t%s\t%s\t%s\t%s\n' "$@" >>"$plan"; }

scans() {
	table='scan: the whole process'
	file=$work/$2.stl
	enter "$table" "$1" pourwright "$file" "$work/pourwright scan --units mm --json $file"
	has admesh && enter "$table" "$1" admesh "$file" "admesh $file"
	has vtk && enter "$table" "$1" VTK "$file" "$work/scan_vtk $file"
	has cgal && enter "$table" "$1" CGAL "$file" "$work/scan_cgal $file"
	enter "$table" "$1" "reading alone (dd)" "$file" "dd if=$file of=/dev/null bs=1M status=none"
}

fields() {
	table='field: mesh to signed distances'
	file=$work/$2.stl places=$3 cells=$4
	lattice=$("$work/field" -lattice "$file" "$cells")
	scene="$1, $cells cells"
	enter "$table" "$scene" "pourwright, whole box" "$file" "$work/field $file $places $cells"
	if has openvdb; then
		enter "$table" "$scene" "OpenVDB, narrow band" "$file" "$work/field_openvdb narrow $file $places $lattice"
		enter "$table" "$scene" "OpenVDB, band and sweep" "$file" "$work/field_openvdb sweep $file $places $lattice"
		[ "$places" = - ] || enter "$table" "$scene" "OpenVDB, full" "$file" "$work/field_openvdb full $file $places $lattice"
	fi
	has cgal && enter "$table" "$scene" "CGAL tree, scaled up" "$file" "$work/field_cgal $file $places $lattice"
	return 0
}

scans 'cube of 12 faces' cube-12
for size in $SIZES; do scans "torus $size" "torus-$size"; done
scans 'storm lantern 1.2m' lantern-1m
for cells in $CELLS; do fields 'torus 1m' torus-1m "$work/places.txt" "$cells"; done
for cells in $CELLS; do fields 'storm lantern 1.2m' lantern-1m - "$cells"; done

cat >"$work/head.md" <<HEAD
# Beside general libraries

Written by \`make peers\` on $(date -u +%Y-%m-%d); the machine: $(nproc) cores,
$(sed -n 's/^model name[^:]*: //p' /proc/cpuinfo | head -1), $(awk '/MemTotal/ {printf "%.0f GB", $2 / 1e6}' /proc/meminfo);
load when it began: $(cut -d' ' -f1-3 /proc/loadavg).

- pourwright $(git describe --tags --always --dirty 2>/dev/null || echo dev), $(go version | cut -d' ' -f3)
- admesh $(version admesh), VTK $(version python3-vtk9), CGAL $(version libcgal-dev), OpenVDB $(version libopenvdb-dev),
  oneTBB $(version libtbb-dev), $(g++ --version 2>/dev/null | head -1)

All programs ran one after the other, round by round. *Times ours* is the median of the ratios of each round:
above 1, ours was faster. The cube of 12 faces tells what starting each program takes. *Processors* is the time that all of them spent on it together. Errors are the greatest against the closed form, in voxels, within a voxel of the
surface and anywhere; CGAL's are taken at the places themselves, the others' between voxels by linear
interpolation, which is most of the error: anywhere, on the ridge of the distance in the middle of the tube.
What each program does is told in \`peers/run.sh\`.
HEAD

"$work/race" "$ROUNDS" "$plan" "$work/head.md" "$here/RESULTS.md"
