// convert reads a mesh (OFF or STL) and writes it as binary STL, triangles in file order.
// It uses CGAL's own readers and writers only.  Usage: convert IN OUT.stl
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/IO/polygon_soup_io.h>
#include <CGAL/IO/STL.h>

#include <iostream>
#include <vector>

using Point = CGAL::Exact_predicates_inexact_constructions_kernel::Point_3;

int main(int argc, char** argv) {
  if (argc != 3) {
    std::cerr << "usage: convert IN OUT.stl\n";
    return 2;
  }
  std::vector<Point> points;
  std::vector<std::vector<std::size_t>> faces;
  if (!CGAL::IO::read_polygon_soup(argv[1], points, faces)) {
    std::cerr << argv[1] << ": not a mesh that CGAL reads\n";
    return 1;
  }
  for (const auto& f : faces)
    if (f.size() != 3) {
      std::cerr << argv[1] << ": has faces that are not triangles\n";
      return 1;
    }
  return CGAL::IO::write_STL(argv[2], points, faces, CGAL::parameters::use_binary_mode(true)) ? 0 : 1;
}
