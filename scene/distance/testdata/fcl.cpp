// Prints FCL's distance for each pair of shapes on stdin, or -1 where it says
// that they collide. A shape is a kind, a pose as twelve numbers (rotation row by
// row, then translation) and its sizes.
#include <fcl/fcl.h>
#include <cstdio>
#include <iostream>
#include <memory>
#include <string>
#include <vector>

using namespace fcl;
typedef std::shared_ptr<CollisionGeometryd> Shape;

static bool read(Shape &shape, Transform3d &pose) {
  std::string kind;
  if (!(std::cin >> kind)) return false;
  Matrix3d r;
  Vector3d t;
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++) std::cin >> r(i, j);
  for (int i = 0; i < 3; i++) std::cin >> t(i);
  pose.setIdentity();
  pose.linear() = r;
  pose.translation() = t;
  double a, b, c;
  if (kind == "sphere") {
    std::cin >> a;
    shape = std::make_shared<Sphered>(a);
  } else if (kind == "capsule") {
    std::cin >> a >> b;
    shape = std::make_shared<Capsuled>(a, b);
  } else if (kind == "cylinder") {
    std::cin >> a >> b;
    shape = std::make_shared<Cylinderd>(a, b);
  } else if (kind == "box") {
    std::cin >> a >> b >> c;
    shape = std::make_shared<Boxd>(a, b, c);
  } else {
    int n, m, v;
    std::cin >> n;
    auto corners = std::make_shared<std::vector<Vector3d>>(n);
    for (auto &p : *corners) std::cin >> p(0) >> p(1) >> p(2);
    std::cin >> m;
    auto faces = std::make_shared<std::vector<int>>();
    for (int i = 0; i < m; i++) {
      faces->push_back(3);
      for (int k = 0; k < 3; k++) {
        std::cin >> v;
        faces->push_back(v);
      }
    }
    shape = std::make_shared<Convexd>(corners, m, faces);
  }
  return true;
}

int main() {
  Shape a, b;
  Transform3d pa, pb;
  while (read(a, pa) && read(b, pb)) {
    DistanceRequestd ask(true);
    ask.gjk_solver_type = GST_INDEP;
    ask.distance_tolerance = 1e-9;
    DistanceResultd got;
    double d = distance(a.get(), pa, b.get(), pb, ask, got);
    std::printf("%.17g\n", d);
  }
}
