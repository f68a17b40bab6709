#include "stage_picture.hpp"

namespace halfturn {
namespace {

class PlainGround final : public StagePicture {
 public:
  unsigned draw(const Session&, const Flight&, const Flight&, const Layout&, int, int, bool) override {
    return 0;
  }
};

}  // namespace

Result<std::unique_ptr<StagePicture>> StagePicture::create(void* (*)(const char*)) {
  return std::unique_ptr<StagePicture>(std::make_unique<PlainGround>());
}

}  // namespace halfturn
