// Prints the least distance that FCL finds between capsules and a scene over
// postures on stdin, and how long that took in seconds. First the scene: the
// number of shapes, and for each a kind, a pose as twelve numbers (rotation row
// by row, then translation) and its sizes. Then the number of capsules, with
// radius and length each; the number of postures; and for each posture the pose
// of every capsule.
#include <fcl/fcl.h>
#include <chrono>
#include <cstdio>
#include <iostream>
#include <memory>
#include <string>
#include <vector>

using namespace fcl;
typedef std::shared_ptr<CollisionGeometryd> Shape;

static Transform3d pose() {
  Transform3d p;
  p.setIdentity();
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++) std::cin >> p.linear()(i, j);
  for (int i = 0; i < 3; i++) std::cin >> p.translation()(i);
  return p;
}

static Shape shape(const std::string &kind) {
  double a, b, c;
  if (kind == "cylinder") {
    std::cin >> a >> b;
    return std::make_shared<Cylinderd>(a, b);
  }
  if (kind == "box") {
    std::cin >> a >> b >> c;
    return std::make_shared<Boxd>(a, b, c);
  }
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
  return std::make_shared<Convexd>(corners, m, faces);
}

int main() {
  std::ios::sync_with_stdio(false);
  int n, m, k;
  std::cin >> n;
  std::vector<std::unique_ptr<CollisionObjectd>> scene, links;
  DynamicAABBTreeCollisionManagerd manager;
  for (int i = 0; i < n; i++) {
    std::string kind;
    std::cin >> kind;
    Transform3d p = pose();
    scene.emplace_back(new CollisionObjectd(shape(kind), p));
    manager.registerObject(scene.back().get());
  }
  manager.setup();
  std::cin >> m;
  for (int i = 0; i < m; i++) {
    double r, l;
    std::cin >> r >> l;
    Shape s;
    if (l > 0) s = std::make_shared<Capsuled>(r, l);
    else s = std::make_shared<Sphered>(r);
    links.emplace_back(new CollisionObjectd(s));
  }
  std::cin >> k;
  double least = 1e9;
  std::chrono::duration<double> took(0);
  for (int i = 0; i < k; i++) {
    for (auto &l : links) l->setTransform(pose());
    auto begin = std::chrono::steady_clock::now();
    for (auto &l : links) {
      l->computeAABB();
      DefaultDistanceData<double> data;
      data.request.gjk_solver_type = GST_INDEP;
      manager.distance(l.get(), &data, DefaultDistanceFunction<double>);
      least = std::min(least, data.result.min_distance);
    }
    took += std::chrono::steady_clock::now() - begin;
  }
  std::printf("%.17g %.6f\n", least, took.count());
}
