// Reads rays from standard input, doubles in mm: six a ray, eye and end, of
// profiles of RAYS rays that share one eye. Arguments: RAYS, the edge of the
// cells to trace in mm (0: none), that of the cells to insert in mm. Prints the
// seconds of processor time that insertion took and the number of free cells; then
// the keys of all cells traced, three integers a line.
#include <octomap/octomap.h>

#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <set>
#include <tuple>
#include <vector>

int main(int argc, char **argv) {
  const size_t perProfile = std::atoi(argv[1]);
  const double trace = std::atof(argv[2]), insert = std::atof(argv[3]);
  std::vector<double> in;
  double v[6];
  while (std::fread(v, sizeof(double), 6, stdin) == 6) in.insert(in.end(), v, v + 6);
  const size_t rays = in.size() / 6;

  octomap::OcTree tree(insert);
  const std::clock_t start = std::clock();
  for (size_t first = 0; first < rays; first += perProfile) {
    octomap::Pointcloud cloud;
    const double *eye = &in[6 * first];
    for (size_t i = first; i < std::min(rays, first + perProfile); i++)
      cloud.push_back(in[6 * i + 3], in[6 * i + 4], in[6 * i + 5]);
    tree.insertPointCloud(cloud, octomap::point3d(eye[0], eye[1], eye[2]), -1, true);
  }
  tree.updateInnerOccupancy();
  const double took = double(std::clock() - start) / CLOCKS_PER_SEC;
  size_t free = 0;
  for (auto leaf = tree.begin_leafs(); leaf != tree.end_leafs(); ++leaf)
    if (!tree.isNodeOccupied(*leaf)) free++;
  std::printf("%.6f %zu\n", took, free);
  if (trace == 0) return 0;

  octomap::OcTree cells(trace);
  std::set<std::tuple<int, int, int>> crossed;
  octomap::KeyRay ray;
  for (size_t i = 0; i < rays; i++) {
    const double *r = &in[6 * i];
    if (!cells.computeRayKeys(octomap::point3d(r[0], r[1], r[2]), octomap::point3d(r[3], r[4], r[5]), ray)) return 1;
    for (const auto &k : ray) crossed.emplace(int(k[0]) - 32768, int(k[1]) - 32768, int(k[2]) - 32768);
  }
  for (const auto &[x, y, z] : crossed) std::printf("%d %d %d\n", x, y, z);
}
