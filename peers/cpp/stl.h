// Binary STL into welded arrays, for the peers whose library reads no STL. Not timed.
#pragma once

#include <array>
#include <cstdint>
#include <cstring>
#include <fstream>
#include <stdexcept>
#include <string>
#include <unordered_map>
#include <vector>

struct Soup {
  std::vector<std::array<float, 3>> points;
  std::vector<std::array<std::uint32_t, 3>> faces;
};

struct BytesHash {
  std::size_t operator()(const std::array<std::uint32_t, 3>& p) const {
    std::uint64_t h = 0;
    for (auto x : p) h = (h ^ x) * 0x9E3779B97F4A7C15ull, h ^= h >> 29;
    return h;
  }
};

inline Soup read_stl(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::vector<char> bytes((std::istreambuf_iterator<char>(in)), {});
  std::uint32_t n = 0;
  if (bytes.size() >= 84) std::memcpy(&n, &bytes[80], 4);
  if (bytes.size() != 84 + 50ull * n) throw std::runtime_error(path + " is no binary STL");
  Soup soup;
  std::unordered_map<std::array<std::uint32_t, 3>, std::uint32_t, BytesHash> seen;
  seen.reserve(n);
  for (std::uint32_t f = 0; f < n; f++) {
    std::array<std::uint32_t, 3> face;
    for (int k = 0; k < 3; k++) {
      std::array<float, 3> p;
      std::memcpy(p.data(), &bytes[84 + 50ull * f + 12 + 12 * k], 12);
      for (auto& x : p) x += 0.0f;  // −0 is 0
      std::array<std::uint32_t, 3> key;
      std::memcpy(key.data(), p.data(), 12);
      auto [at, is_new] = seen.try_emplace(key, soup.points.size());
      if (is_new) soup.points.push_back(p);
      face[k] = at->second;
    }
    soup.faces.push_back(face);
  }
  return soup;
}
