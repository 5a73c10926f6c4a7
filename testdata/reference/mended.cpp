// mended says whether a binary STL file holds a solid, and prints what it found as a JSON object.
// Usage: mended FILE.stl
//
// The volume is summed in rational arithmetic over the float32 coordinates of the file and is within
// the last digit of a double. Faces that cut through each other are only counted: a surface with a few
// is still closed and has a signed volume, but CGAL's test that it bounds one asks for none.
#include <CGAL/Exact_predicates_exact_constructions_kernel.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/IO/polygon_soup_io.h>
#include <CGAL/Polygon_mesh_processing/connected_components.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Polygon_mesh_processing/orientation.h>
#include <CGAL/Polygon_mesh_processing/polygon_soup_to_polygon_mesh.h>
#include <CGAL/Polygon_mesh_processing/repair_polygon_soup.h>
#include <CGAL/Polygon_mesh_processing/self_intersections.h>
#include <CGAL/Surface_mesh.h>
#include <CGAL/version.h>

#include <iomanip>
#include <iostream>
#include <utility>
#include <vector>

namespace PMP = CGAL::Polygon_mesh_processing;
using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Exact = CGAL::Exact_predicates_exact_constructions_kernel;
using Mesh = CGAL::Surface_mesh<Kernel::Point_3>;
using ExactMesh = CGAL::Surface_mesh<Exact::Point_3>;

// Signed volume, without rounding until the end.
double volume(const Mesh& mesh) {
  ExactMesh same;
  std::vector<ExactMesh::Vertex_index> at;
  for (auto v : mesh.vertices()) {
    const auto& p = mesh.point(v);
    at.push_back(same.add_vertex(Exact::Point_3(p.x(), p.y(), p.z())));
  }
  for (auto f : mesh.faces()) {
    std::vector<ExactMesh::Vertex_index> corners;
    for (auto v : mesh.vertices_around_face(mesh.halfedge(f))) corners.push_back(at[v]);
    same.add_face(corners);
  }
  return CGAL::to_double(PMP::volume(same));
}

int main(int argc, char** argv) {
  std::vector<Kernel::Point_3> points;
  std::vector<std::vector<std::size_t>> faces;
  if (argc != 2 || !CGAL::IO::read_polygon_soup(argv[1], points, faces)) {
    std::cerr << "usage: mended FILE.stl\n";
    return 2;
  }
  PMP::merge_duplicate_points_in_polygon_soup(points, faces);
  std::cout << std::setprecision(17) << std::boolalpha << "{\"faces\": " << faces.size();
  if (!PMP::is_polygon_soup_a_polygon_mesh(faces)) {
    std::cout << ", \"manifold\": false, \"by\": \"CGAL " << CGAL_VERSION_STR << "\"}\n";
    return 0;
  }
  Mesh mesh;
  PMP::polygon_soup_to_polygon_mesh(points, faces, mesh);
  std::vector<std::pair<Mesh::Face_index, Mesh::Face_index>> crossings;
  PMP::self_intersections(mesh, std::back_inserter(crossings));
  auto part = mesh.add_property_map<Mesh::Face_index, std::size_t>("f:part").first;
  const bool closed = CGAL::is_closed(mesh);
  std::cout << ", \"manifold\": true, \"closed\": " << closed
            << ", \"parts\": " << PMP::connected_components(mesh, part) << ", \"volume\": ";
  if (closed) std::cout << volume(mesh);
  else std::cout << "null";
  std::cout << ", \"crossings\": " << crossings.size() << ", \"bounds_a_volume\": ";
  if (closed && crossings.empty()) std::cout << PMP::does_bound_a_volume(mesh);
  else std::cout << "null";
  std::cout << ", \"by\": \"CGAL " << CGAL_VERSION_STR << "\"}\n";
}
