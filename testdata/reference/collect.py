#!/usr/bin/python3
"""Write reference.json: what CGAL says of each STL file, with VTK's figures beside it.

Usage: collect.py MEASURE FOLDER, where MEASURE is the program built from measure.cpp.
Stops with an error when the two libraries disagree: a disputed figure is no reference.
"""
import json
import pathlib
import subprocess
import sys

import vtk

AGREE = 1e-9  # relative, between CGAL's exact sums and VTK's in double precision


def vtk_figures(path):
    reader = vtk.vtkSTLReader()
    reader.SetFileName(str(path))
    edges = vtk.vtkFeatureEdges()
    edges.SetInputConnection(reader.GetOutputPort())
    edges.BoundaryEdgesOn()
    edges.NonManifoldEdgesOn()
    edges.FeatureEdgesOff()
    edges.ManifoldEdgesOff()
    edges.Update()
    closed = edges.GetOutput().GetNumberOfCells() == 0
    mass = vtk.vtkMassProperties()
    mass.SetInputConnection(reader.GetOutputPort())
    mass.Update()
    return {
        "closed": closed,
        "volume": mass.GetVolume() if closed else None,
        "area": mass.GetSurfaceArea(),
        "by": "VTK " + vtk.vtkVersion().GetVTKVersion(),
    }


def differ(a, b):
    if a is None or b is None:
        return 0.0 if a is b else 1.0
    return abs(a - b) / abs(b)


def main(measure, folder):
    table = {}
    for path in sorted(pathlib.Path(folder).glob("*.stl")):
        first = json.loads(subprocess.run([measure, path], check=True, capture_output=True).stdout)
        second = vtk_figures(path)
        apart = max(differ(second[k], first[k]) for k in ("volume", "area"))
        print(f"{path.name}: closed {first['closed']}, apart {apart:.1e}", file=sys.stderr)
        if first["closed"] != second["closed"] or apart > AGREE:
            sys.exit(f"{path.name}: the two libraries disagree: {first} {second}")
        table[path.name] = dict(first, second=second)
    rows = (f"{json.dumps(name)}: {json.dumps(row)}" for name, row in table.items())
    (pathlib.Path(folder) / "reference.json").write_text("{\n" + ",\n".join(rows) + "\n}\n")


main(*sys.argv[1:])
