#!/usr/bin/python3
"""Write sections.json: area and outline of plane sections of three meshes, by VTK.

Usage: sections.py FOLDER. Each mesh is cut at 50 heights between its lowest and highest point,
across z. vtkCutter cuts, vtkStripper joins the pieces to outlines; those inside an odd number of others are
holes.
"""
import json
import pathlib
import sys

import vtk

MESHES = ["../samples/storm-lantern.stl", "elephant.stl", "knot1.stl"]
HEIGHTS = 50


def enclosed(loop):
    x0, y0 = loop[0]
    pairs = zip(loop, loop[1:])
    return abs(sum((a[0] - x0) * (b[1] - y0) - (b[0] - x0) * (a[1] - y0) for a, b in pairs)) / 2


def inside(point, loop):
    x, y = point
    odd = False
    for (ax, ay), (bx, by) in zip(loop, loop[1:]):
        if (ay > y) != (by > y) and x < ax + (bx - ax) * (y - ay) / (by - ay):
            odd = not odd
    return odd


def section(mesh, height):
    plane = vtk.vtkPlane()
    plane.SetOrigin(0, 0, height)
    plane.SetNormal(0, 0, 1)
    cutter = vtk.vtkCutter()
    cutter.SetInputData(mesh)
    cutter.SetCutFunction(plane)
    cutter.Update()
    lines = cutter.GetOutput()
    outline = 0.0
    for i in range(lines.GetNumberOfCells()):
        points = lines.GetCell(i).GetPoints()
        outline += vtk.vtkMath.Distance2BetweenPoints(points.GetPoint(0), points.GetPoint(1)) ** 0.5
    join = vtk.vtkStripper()
    join.SetInputData(lines)
    join.SetMaximumLength(10**7)
    join.Update()
    joined = join.GetOutput()
    loops = []
    for i in range(joined.GetNumberOfCells()):
        points = joined.GetCell(i).GetPoints()
        loops.append([points.GetPoint(k)[:2] for k in range(points.GetNumberOfPoints())])
        if loops[-1][0] != loops[-1][-1]:
            sys.exit(f"an outline at {height} is not closed")
    area = 0.0
    for i, loop in enumerate(loops):
        around = sum(inside(loop[0], other) for k, other in enumerate(loops) if k != i)
        area += -enclosed(loop) if around % 2 else enclosed(loop)
    return {"height": height, "area": area, "outline": outline}


def main(folder):
    table = {"by": "VTK " + vtk.vtkVersion().GetVTKVersion(), "meshes": {}}
    for name in MESHES:
        reader = vtk.vtkSTLReader()
        reader.SetFileName(str(pathlib.Path(folder) / name))
        reader.Update()
        # Points in double precision: cutting single ones rounds the sections too.
        mesh = vtk.vtkPolyData()
        mesh.DeepCopy(reader.GetOutput())
        points = vtk.vtkPoints()
        points.SetDataTypeToDouble()
        points.DeepCopy(mesh.GetPoints())
        mesh.SetPoints(points)
        low, high = mesh.GetBounds()[4:]
        # The odd fraction keeps the planes off corners of the mesh.
        heights = [low + (high - low) * (i + 0.4871) / HEIGHTS for i in range(HEIGHTS)]
        table["meshes"][name] = [section(mesh, h) for h in heights]
    rows = ",\n".join(
        f"{json.dumps(name)}: [\n" + ",\n".join(json.dumps(s) for s in sections) + "\n]"
        for name, sections in table["meshes"].items()
    )
    text = f'{{"by": {json.dumps(table["by"])}, "meshes": {{\n{rows}\n}}}}\n'
    (pathlib.Path(folder) / "sections.json").write_text(text)


main(*sys.argv[1:])
