#!/usr/bin/python3
"""Write mended.json: what CGAL, VTK and admesh say of the meshes that mended.go wrote.

Usage: mended.py JUDGE UNION FOLDER OUT.json, where JUDGE and UNION are the programs built from mended.cpp
and mended_union.cpp, and FOLDER holds list.json and the STL files. Of a crossed scan that was built anew,
"union" is the volume of both parts together. Stops with an error when a mesh is not closed, not manifold, not turned
outward, has other parts than we say, or when a volume differs, that of the union by more than we doubt it:
the file is then left as it was.
"""
import json
import pathlib
import re
import subprocess
import sys

import vtk

ROUNDED = 1e-6  # relative, between our volume and CGAL's of the float32 file
VTK_AGREES = 1e-9  # relative, sums in double precision of the same file
ADMESH_AGREES = 1e-3  # relative; admesh sums in single precision (2e-4 seen)


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
    parts = vtk.vtkPolyDataConnectivityFilter()
    parts.SetInputConnection(reader.GetOutputPort())
    parts.SetExtractionModeToAllRegions()
    parts.Update()
    mass = vtk.vtkMassProperties()
    mass.SetInputConnection(reader.GetOutputPort())
    mass.Update()
    return {
        "closed": edges.GetOutput().GetNumberOfCells() == 0,
        "parts": parts.GetNumberOfExtractedRegions(),
        "volume": mass.GetVolume(),
        "by": "VTK " + vtk.vtkVersion().GetVTKVersion(),
    }


def admesh_figures(path):
    # --exact and --normal-directions look and count; nothing is connected, filled or removed.
    text = subprocess.run(["admesh", "--exact", "--normal-directions", str(path)], check=True, capture_output=True).stdout
    text = text.decode("latin-1")

    def figure(pattern):
        return float(re.search(pattern, text).group(1))

    return {
        "disconnected": int(figure(r"Total disconnected facets\s*:\s*\d+\s+(\d+)")),
        "degenerate": int(figure(r"Degenerate facets\s*:\s*(\d+)")),
        "reversed": int(figure(r"Facets reversed\s*:\s*(\d+)")),
        "backwards": int(figure(r"Backwards edges\s*:\s*(\d+)")),
        "parts": int(figure(r"Number of parts\s*:\s*(\d+)")),
        "volume": figure(r"Volume\s*:\s*(-?[\d.]+)"),
        "by": "ADMesh " + re.search(r"ADMesh version ([\d.]+)", text).group(1),
    }


def faults(ours, cgal, vtk_, admesh):
    """Everything in which a judge finds the mesh no solid, or another one than we say."""

    def off(judge):
        return abs(judge["volume"] / ours["volume"] - 1)

    if not cgal["manifold"] or not cgal["closed"]:
        return [f"CGAL: {cgal}"]
    said = {
        f"CGAL: {cgal['faces']} faces": cgal["faces"] != ours["faces"],
        f"CGAL: {cgal['parts']} parts": cgal["parts"] != ours["parts"],
        f"CGAL: volume off by {off(cgal):.1e}": off(cgal) > ROUNDED,
        "CGAL: bounds no volume": cgal["bounds_a_volume"] is False,
        "VTK: not closed": not vtk_["closed"],
        f"VTK: {vtk_['parts']} parts": vtk_["parts"] != ours["parts"],
        f"VTK: volume {vtk_['volume']}": abs(vtk_["volume"] / cgal["volume"] - 1) > VTK_AGREES,
        f"admesh: {admesh}": any(admesh[k] for k in ("disconnected", "degenerate", "reversed", "backwards"))
        or admesh["parts"] != ours["parts"] or off(admesh) > ADMESH_AGREES,
    }
    return [text for text, wrong in said.items() if wrong]


def main(judge, union, folder, out):
    folder, table, bad, apart = pathlib.Path(folder), {}, [], 0.0
    for ours in json.loads((folder / "list.json").read_text()):
        if "refused" in ours:
            table[ours["name"]] = {"refused": ours["refused"]}
            continue
        path = folder / ours["file"]
        cgal = json.loads(subprocess.run([judge, path], check=True, capture_output=True).stdout)
        second, third = vtk_figures(path), admesh_figures(path)
        wrong = faults(ours, cgal, second, third)
        if "crossed" in ours:
            parts = [folder / part for part in ours["crossed"]]
            cgal["union"] = float(subprocess.run([union, *parts], check=True, capture_output=True).stdout)
            off = abs(ours["inside"] - cgal["union"])
            print(f"{ours['name']}: {off / cgal['union']:.1e} off the union, doubted {ours['doubt'] / cgal['union']:.1e}", file=sys.stderr)
            if off > ours["doubt"]:
                wrong.append(f"CGAL: union {cgal['union']}, ours {ours['inside']} ± {ours['doubt']}")
        bad += [f"{ours['name']}: {text}" for text in wrong]
        if not wrong:
            apart = max(apart, abs(cgal["volume"] / ours["volume"] - 1))
        table[ours["name"]] = dict(cgal, second=second, third=third)
    judged = sum("refused" not in row for row in table.values())
    print(f"{len(table)} scans: {judged} mended and judged, {len(bad)} faults, volumes at most {apart:.1e} apart", file=sys.stderr)
    if bad:
        sys.exit("\n".join(bad))
    rows = (f"{json.dumps(name)}: {json.dumps(row)}" for name, row in table.items())
    pathlib.Path(out).write_text("{\n" + ",\n".join(rows) + "\n}\n")


main(*sys.argv[1:])
