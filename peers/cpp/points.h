// Places with their true distance to the torus, and how far a field is off there. Not timed.
#pragma once

#include <algorithm>
#include <cmath>
#include <fstream>
#include <iostream>
#include <string>
#include <vector>

struct Place {
  double x, y, z, distance;  // mm, negative inside
};

// One place a line, as peers/inputs writes them.
inline std::vector<Place> read_places(const std::string& path) {
  std::ifstream in(path);
  std::vector<Place> places;
  for (Place p; in >> p.x >> p.y >> p.z >> p.distance;) places.push_back(p);
  return places;
}

// Prints the greatest error, in voxels, within a voxel of the surface and, when everywhere, at all places;
// nothing when there are none.
template <class Field>
void print_errors(const std::vector<Place>& places, double voxel, bool everywhere, Field at) {
  if (places.empty()) return;
  double near = 0, far = 0;
  for (const auto& p : places) {
    const bool close = std::abs(p.distance) <= voxel;
    if (!close && !everywhere) continue;
    const double off = std::abs(at(p) - p.distance) / voxel;
    (close ? near : far) = std::max(close ? near : far, off);
  }
  std::cout << "near " << near << "\n";
  if (everywhere) std::cout << "far " << std::max(near, far) << "\n";
}
