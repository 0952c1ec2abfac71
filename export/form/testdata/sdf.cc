// Reads an SDF file with SDFormat and prints, a line a collision shape: link,
// pose in base (x y z qw qx qy qz), shape, its numbers or its file.
#include <iostream>
#include <sdf/sdf.hh>

int main(int, char **argv) {
  sdf::Root root;
  auto errors = root.Load(argv[1]);
  for (auto &e : errors) std::cerr << e.Message() << '\n';
  if (!errors.empty() || !root.Model() || !root.Model()->Static()) return 1;
  auto model = root.Model();
  if (model->JointCount() + 1 != model->LinkCount()) return 2;
  std::cout.precision(12);
  for (uint64_t i = 0; i < model->LinkCount(); i++) {
    auto link = model->LinkByIndex(i);
    if (link->VisualCount() != link->CollisionCount()) return 3;
    for (uint64_t k = 0; k < link->CollisionCount(); k++) {
      auto c = link->CollisionByIndex(k);
      ignition::math::Pose3d pose;
      if (!c->SemanticPose().Resolve(pose, "__model__").empty()) return 4;
      auto p = pose.Pos();
      auto q = pose.Rot();
      std::cout << link->Name() << '\t' << p.X() << ' ' << p.Y() << ' ' << p.Z() << ' ' << q.W() << ' ' << q.X() << ' ' << q.Y() << ' ' << q.Z() << '\t';
      if (auto b = c->Geom()->BoxShape()) std::cout << "box\t" << b->Size().X() << ' ' << b->Size().Y() << ' ' << b->Size().Z();
      if (auto y = c->Geom()->CylinderShape()) std::cout << "cylinder\t" << y->Radius() << ' ' << y->Length();
      if (auto m = c->Geom()->MeshShape()) std::cout << "mesh\t" << m->Uri();
      std::cout << '\n';
    }
  }
}
