// Reads a URDF file with urdfdom and prints, a line a collision shape: link,
// pose in base (x y z qw qx qy qz), shape, its numbers or its file.
#include <iostream>
#include <urdf_parser/urdf_parser.h>

int main(int, char **argv) {
  auto model = urdf::parseURDFFile(argv[1]);
  if (!model) return 1;
  std::cout.precision(12);
  for (auto &[name, link] : model->links_) {
    if (!link->parent_joint) continue;
    if (link->parent_joint->type != urdf::Joint::FIXED || link->getParent()->name != "base") return 2;
    if (link->visual_array.size() != link->collision_array.size()) return 3;
    auto at = link->parent_joint->parent_to_joint_origin_transform;
    for (auto &c : link->collision_array) {
      auto p = at.position + at.rotation * c->origin.position;
      auto q = at.rotation * c->origin.rotation;
      std::cout << name << '\t' << p.x << ' ' << p.y << ' ' << p.z << ' ' << q.w << ' ' << q.x << ' ' << q.y << ' ' << q.z << '\t';
      if (auto b = std::dynamic_pointer_cast<urdf::Box>(c->geometry)) std::cout << "box\t" << b->dim.x << ' ' << b->dim.y << ' ' << b->dim.z;
      if (auto y = std::dynamic_pointer_cast<urdf::Cylinder>(c->geometry)) std::cout << "cylinder\t" << y->radius << ' ' << y->length;
      if (auto m = std::dynamic_pointer_cast<urdf::Mesh>(c->geometry)) std::cout << "mesh\t" << m->filename;
      std::cout << '\n';
    }
  }
}
