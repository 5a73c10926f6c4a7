// field_cgal asks CGAL's box tree for the signed distance at voxels of a box, on two threads. It asks at
// every so many voxels and says how long all of them would take; building the tree is timed in full.
//
// Usage: field_cgal FILE.stl PLACES X Y Z VOXEL NX NY NZ   (as field_openvdb)
#include "points.h"
#include "stl.h"

#include <CGAL/AABB_face_graph_triangle_primitive.h>
#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Side_of_triangle_mesh.h>
#include <CGAL/Surface_mesh.h>

#include <chrono>
#include <cstdlib>
#include <thread>

namespace {

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Mesh = CGAL::Surface_mesh<Kernel::Point_3>;
using Tree = CGAL::AABB_tree<CGAL::AABB_traits<Kernel, CGAL::AABB_face_graph_triangle_primitive<Mesh>>>;
using Side = CGAL::Side_of_triangle_mesh<Mesh, Kernel>;

constexpr long kAsked = 20000;  // voxels, about
constexpr int kThreads = 2;

double signed_distance(const Tree& tree, const Side& side, const Kernel::Point_3& p) {
  const double d = std::sqrt(tree.squared_distance(p));
  return side(p) == CGAL::ON_BOUNDED_SIDE ? -d : d;
}

double since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 10) {
    std::cerr << "usage: field_cgal FILE.stl PLACES X Y Z VOXEL NX NY NZ\n";
    return 2;
  }
  const auto places = read_places(argv[2]);
  const double x = std::atof(argv[3]), y = std::atof(argv[4]), z = std::atof(argv[5]), voxel = std::atof(argv[6]);
  const long nx = std::atol(argv[7]), ny = std::atol(argv[8]), nz = std::atol(argv[9]), all = nx * ny * nz;
  Mesh mesh;
  {
    const Soup soup = read_stl(argv[1]);
    std::vector<Mesh::Vertex_index> at;
    for (const auto& p : soup.points) at.push_back(mesh.add_vertex({p[0], p[1], p[2]}));
    for (const auto& f : soup.faces) mesh.add_face(at[f[0]], at[f[1]], at[f[2]]);
  }

  auto start = std::chrono::steady_clock::now();
  Tree tree(faces(mesh).begin(), faces(mesh).end(), mesh);
  tree.build();
  tree.accelerate_distance_queries();
  const Side side(tree);
  signed_distance(tree, side, {x, y, z});  // what is built at the first question
  const double build = since(start);

  // An odd step spreads the questions over the box.
  const long step = std::max(1l, all / kAsked) | 1;
  std::vector<double> sums(kThreads);
  start = std::chrono::steady_clock::now();
  std::vector<std::thread> threads;
  for (int t = 0; t < kThreads; t++)
    threads.emplace_back([&, t] {
      for (long i = t * step; i < all; i += kThreads * step)
        sums[t] += signed_distance(tree, side, {x + voxel * (i % nx), y + voxel * (i / nx % ny), z + voxel * (i / nx / ny)});
    });
  for (auto& t : threads) t.join();
  const double asked = std::ceil(double(all) / step);

  std::cout << "seconds " << build + since(start) * all / asked << "\nvoxels " << all << "\n";
  print_errors(places, voxel, true,
               [&](const Place& p) { return signed_distance(tree, side, {p.x, p.y, p.z}); });
}
