// scan_vtk reads an STL file with VTK, which welds it, looks for edges that are not in two faces, and
// measures area and volume.  Usage: scan_vtk FILE.stl
#include <vtkFeatureEdges.h>
#include <vtkMassProperties.h>
#include <vtkNew.h>
#include <vtkPolyData.h>
#include <vtkSTLReader.h>

#include <iomanip>
#include <iostream>

int main(int argc, char** argv) {
  if (argc != 2) {
    std::cerr << "usage: scan_vtk FILE.stl\n";
    return 2;
  }
  vtkNew<vtkSTLReader> reader;
  reader->SetFileName(argv[1]);
  vtkNew<vtkFeatureEdges> edges;
  edges->SetInputConnection(reader->GetOutputPort());
  edges->BoundaryEdgesOn();
  edges->NonManifoldEdgesOn();
  edges->FeatureEdgesOff();
  edges->ManifoldEdgesOff();
  edges->Update();
  vtkNew<vtkMassProperties> mass;
  mass->SetInputConnection(reader->GetOutputPort());
  mass->Update();
  std::cout << std::setprecision(17) << "closed " << (edges->GetOutput()->GetNumberOfCells() == 0) << "\narea "
            << mass->GetSurfaceArea() << "\nvolume " << mass->GetVolume() << "\n";
}
