// scan_cgal reads an STL file with CGAL, welds and orients it, and says whether it is closed, how many
// parts it has, its area and its volume.  Usage: scan_cgal FILE.stl
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/IO/polygon_soup_io.h>
#include <CGAL/Polygon_mesh_processing/connected_components.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Polygon_mesh_processing/orient_polygon_soup.h>
#include <CGAL/Polygon_mesh_processing/orientation.h>
#include <CGAL/Polygon_mesh_processing/polygon_soup_to_polygon_mesh.h>
#include <CGAL/Polygon_mesh_processing/repair_polygon_soup.h>
#include <CGAL/Surface_mesh.h>

#include <array>
#include <iomanip>
#include <iostream>
#include <vector>

namespace PMP = CGAL::Polygon_mesh_processing;
using Point = CGAL::Exact_predicates_inexact_constructions_kernel::Point_3;
using Mesh = CGAL::Surface_mesh<Point>;

int main(int argc, char** argv) {
  std::vector<Point> points;
  std::vector<std::array<std::size_t, 3>> faces;
  if (argc != 2 || !CGAL::IO::read_polygon_soup(argv[1], points, faces)) {
    std::cerr << "usage: scan_cgal FILE.stl\n";
    return 2;
  }
  PMP::merge_duplicate_points_in_polygon_soup(points, faces);
  PMP::orient_polygon_soup(points, faces);
  Mesh mesh;
  PMP::polygon_soup_to_polygon_mesh(points, faces, mesh);
  auto part = mesh.add_property_map<Mesh::Face_index, std::size_t>("f:part").first;
  std::cout << std::setprecision(17) << "closed " << CGAL::is_closed(mesh) << "\nparts "
            << PMP::connected_components(mesh, part) << "\narea " << PMP::area(mesh) << "\n";
  if (CGAL::is_closed(mesh)) std::cout << "volume " << PMP::volume(mesh) << "\n";
}
