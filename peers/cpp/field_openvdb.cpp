// field_openvdb turns a mesh into a grid of signed distances with OpenVDB, on as many threads as there are
// processors, and times that alone.
//
// Usage: field_openvdb MODE FILE.stl PLACES X Y Z VOXEL NX NY NZ
// MODE: narrow  the band of half width 3 voxels
//       full    bands so wide that every voxel of the box is in one
//       sweep   the narrow band, then fast sweeping over the box
// X Y Z is the centre of the box's first voxel, mm; VOXEL its side, mm; NX NY NZ the voxels of the box.
#include "points.h"
#include "stl.h"

#include <openvdb/openvdb.h>
#include <openvdb/tools/FastSweeping.h>
#include <openvdb/tools/Interpolation.h>
#include <openvdb/tools/MeshToVolume.h>

#include <chrono>
#include <cstdlib>

namespace {

constexpr float kHalfWidth = 3;  // voxels, the library's own default

openvdb::FloatGrid::Ptr sweep(const openvdb::FloatGrid& band, const openvdb::Coord& size) {
  auto box = openvdb::BoolGrid::create(false);
  box->setTransform(band.transform().copy());
  box->denseFill(openvdb::CoordBBox(openvdb::Coord(0), size - openvdb::Coord(1)), true, true);
  box->tree().voxelizeActiveTiles();
  return openvdb::tools::maskSdf(band, *box);
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 11) {
    std::cerr << "usage: field_openvdb MODE FILE.stl PLACES X Y Z VOXEL NX NY NZ\n";
    return 2;
  }
  openvdb::initialize();
  const std::string mode = argv[1];
  const auto places = read_places(argv[3]);
  const openvdb::Vec3d origin(std::atof(argv[4]), std::atof(argv[5]), std::atof(argv[6]));
  const double voxel = std::atof(argv[7]);
  const openvdb::Coord size(std::atoi(argv[8]), std::atoi(argv[9]), std::atoi(argv[10]));
  std::vector<openvdb::Vec3s> points;
  std::vector<openvdb::Vec3I> faces;
  {
    const Soup soup = read_stl(argv[2]);
    for (const auto& p : soup.points) points.emplace_back(p[0], p[1], p[2]);
    for (const auto& f : soup.faces) faces.emplace_back(f[0], f[1], f[2]);
  }
  auto transform = openvdb::math::Transform::createLinearTransform(voxel);
  transform->postTranslate(origin);
  float out = kHalfWidth, in = kHalfWidth;
  if (mode == "full") {
    // The farthest place of the box, outside and inside.
    for (const auto& p : places) {
      out = std::max(out, float(p.distance / voxel) + 3);
      in = std::max(in, float(-p.distance / voxel) + 3);
    }
  }

  const auto start = std::chrono::steady_clock::now();
  auto grid = openvdb::tools::meshToSignedDistanceField<openvdb::FloatGrid>(*transform, points, faces, {}, out, in);
  if (mode == "sweep") grid = sweep(*grid, size);
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;

  std::cout << "seconds " << took.count() << "\nvoxels " << grid->activeVoxelCount() << "\n";
  const openvdb::tools::GridSampler<openvdb::FloatGrid, openvdb::tools::BoxSampler> sampler(*grid);
  print_errors(places, voxel, mode != "narrow",
               [&](const Place& p) { return sampler.wsSample(openvdb::Vec3d(p.x, p.y, p.z)); });
}
