// mended_union prints the volume of what two closed surfaces enclose together.
// Usage: mended_union A.stl B.stl
//
// Where they cut each other is found exactly; only the new corners and the sum are rounded to double.
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/IO/polygon_soup_io.h>
#include <CGAL/Polygon_mesh_processing/corefinement.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Polygon_mesh_processing/polygon_soup_to_polygon_mesh.h>
#include <CGAL/Polygon_mesh_processing/repair_polygon_soup.h>
#include <CGAL/Surface_mesh.h>

#include <iomanip>
#include <iostream>
#include <vector>

namespace PMP = CGAL::Polygon_mesh_processing;
using Point = CGAL::Exact_predicates_inexact_constructions_kernel::Point_3;
using Mesh = CGAL::Surface_mesh<Point>;

bool read(const char* path, Mesh& mesh) {
  std::vector<Point> points;
  std::vector<std::vector<std::size_t>> faces;
  if (!CGAL::IO::read_polygon_soup(path, points, faces)) return false;
  PMP::merge_duplicate_points_in_polygon_soup(points, faces);
  if (!PMP::is_polygon_soup_a_polygon_mesh(faces)) return false;
  PMP::polygon_soup_to_polygon_mesh(points, faces, mesh);
  return CGAL::is_closed(mesh);
}

int main(int argc, char** argv) {
  Mesh a, b, both;
  if (argc != 3 || !read(argv[1], a) || !read(argv[2], b)) {
    std::cerr << "usage: mended_union A.stl B.stl, both closed\n";
    return 2;
  }
  if (!PMP::corefine_and_compute_union(a, b, both)) {
    std::cerr << argv[1] << " and " << argv[2] << ": the union is no manifold\n";
    return 1;
  }
  std::cout << std::setprecision(17) << PMP::volume(both) << "\n";
}
