// measure prints the reference figures of one binary STL file as a JSON object.
// Usage: measure FILE.stl
//
// Coordinates in the file are float32, so each is an exact rational. With CGAL's exact constructions
// the volume is summed in rational arithmetic and is within the last digit of a double; of the area,
// only each face's square root is rounded to double before the exact sum.
#include <CGAL/Exact_predicates_exact_constructions_kernel.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/IO/polygon_soup_io.h>
#include <CGAL/Polygon_mesh_processing/bbox.h>
#include <CGAL/Polygon_mesh_processing/border.h>
#include <CGAL/Polygon_mesh_processing/connected_components.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Polygon_mesh_processing/orientation.h>
#include <CGAL/Polygon_mesh_processing/polygon_soup_to_polygon_mesh.h>
#include <CGAL/Polygon_mesh_processing/repair_polygon_soup.h>
#include <CGAL/Polygon_mesh_processing/self_intersections.h>
#include <CGAL/Surface_mesh.h>
#include <CGAL/optimal_bounding_box.h>
#include <CGAL/version.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iomanip>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

namespace PMP = CGAL::Polygon_mesh_processing;
using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Exact = CGAL::Exact_predicates_exact_constructions_kernel;
using Mesh = CGAL::Surface_mesh<Kernel::Point_3>;
using ExactMesh = CGAL::Surface_mesh<Exact::Point_3>;
using Points = std::vector<Kernel::Point_3>;
using Faces = std::vector<std::vector<std::size_t>>;

// The same surface with exact coordinates.
ExactMesh exactly(const Points& points, const Faces& faces) {
  std::vector<Exact::Point_3> same;
  for (const auto& p : points) same.emplace_back(p.x(), p.y(), p.z());
  ExactMesh mesh;
  PMP::polygon_soup_to_polygon_mesh(same, faces, mesh);
  return mesh;
}

// The volume as JSON: null for an open surface, which has none.
std::string volume(const ExactMesh& mesh) {
  if (!CGAL::is_closed(mesh)) return "null";
  std::ostringstream out;
  out << std::setprecision(17) << CGAL::to_double(PMP::volume(mesh));
  return out.str();
}

// Sides of CGAL's oriented box, longest first. It is a search: an upper bound on the smallest box.
std::array<double, 3> box(const Points& points) {
  std::array<Kernel::Point_3, 8> c;
  CGAL::oriented_bounding_box(points, c, CGAL::parameters::use_convex_hull(true).random_seed(1));
  std::array<double, 3> side;
  for (int i : {0, 1, 2}) side[i] = std::sqrt(CGAL::squared_distance(c[0], c[2 * i + 1]));
  std::sort(side.rbegin(), side.rend());
  return side;
}

// Parts connected over edges, and rims of holes.
std::array<std::size_t, 2> pieces(Mesh& mesh) {
  std::vector<Mesh::Halfedge_index> loops;
  PMP::extract_boundary_cycles(mesh, std::back_inserter(loops));
  auto part = mesh.add_property_map<Mesh::Face_index, std::size_t>("f:part").first;
  return {PMP::connected_components(mesh, part), loops.size()};
}

int main(int argc, char** argv) {
  Points points;
  Faces faces;
  if (argc != 2 || !CGAL::IO::read_polygon_soup(argv[1], points, faces)) {
    std::cerr << "usage: measure FILE.stl\n";
    return 2;
  }
  PMP::merge_duplicate_points_in_polygon_soup(points, faces);
  if (!PMP::is_polygon_soup_a_polygon_mesh(faces)) {
    std::cerr << argv[1] << ": not a manifold, consistently wound mesh\n";
    return 1;
  }
  Mesh mesh;
  PMP::polygon_soup_to_polygon_mesh(points, faces, mesh);
  const auto exact = exactly(points, faces);
  const auto [shells, loops] = pieces(mesh);
  const auto lim = PMP::bbox(mesh);
  const auto side = box(points);
  const bool crossing = PMP::does_self_intersect(mesh);
  const bool bounds = CGAL::is_closed(mesh) && !crossing && PMP::does_bound_a_volume(mesh);
  std::cout << std::setprecision(17) << std::boolalpha << "{\"faces\": " << faces.size()
            << ", \"vertices\": " << points.size() << ", \"shells\": " << shells << ", \"open_loops\": " << loops
            << ", \"closed\": " << CGAL::is_closed(mesh) << ", \"crosses_itself\": " << crossing
            << ", \"bounds_a_volume\": " << bounds << ", \"volume\": " << volume(exact)
            << ", \"area\": " << CGAL::to_double(PMP::area(exact)) << ", \"bounds\": [[" << lim.xmin() << ", "
            << lim.ymin() << ", " << lim.zmin() << "], [" << lim.xmax() << ", " << lim.ymax() << ", " << lim.zmax()
            << "]], \"box\": [" << side[0] << ", " << side[1] << ", " << side[2] << "], \"by\": \"CGAL "
            << CGAL_VERSION_STR << "\"}\n";
}
