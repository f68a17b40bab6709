#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "format/recording_file.hpp"

namespace halfturn {

/// Whether a text begins like motion capture in the open BVH format: a skeleton and its frames.
[[nodiscard]] bool looks_like_bvh(std::string_view start);

/// Reads BVH line by line: of a whole skeleton one joint's orientation and path are kept, the trunk's. Angles
/// are degrees; lengths have no unit in the file and are asked for.
class BvhReader {
 public:
  BvhReader(std::string file, const ColumnAnswers& answers) : file_(std::move(file)), answers_(answers) {}
  /// A line without its end; the last one may have had none.
  Outcome take(std::string_view line, bool ended);
  Result<Recording> finish();

 private:
  enum class Channel : unsigned char { x_place, y_place, z_place, x_turn, y_turn, z_turn };
  struct Joint {
    std::string name;
    int parent = -1, children = 0;
    Vec3 offset{0};   ///< from the parent, in the file's unit
    Vec3 at_rest{0};  ///< from the root with every angle 0
    std::size_t first_channel = 0;
    std::vector<Channel> channels;
    bool has_offset = false, has_channels = false, is_end = false;
    [[nodiscard]] bool turns() const;
  };
  struct Token {
    std::string_view text;
    std::size_t column = 1;
  };
  enum class Part : unsigned char { start, root, hierarchy, motion, frames, frame_time, rows };

  [[nodiscard]] Problem wrong(std::size_t column, std::string text) const;
  [[nodiscard]] Problem wrong(const Token& token, std::string text) const;
  void split(std::string_view line);
  Outcome take_hierarchy();
  Outcome take_in_joint(std::size_t& next);
  Outcome begin_joint(std::size_t& next, bool is_end);
  Outcome take_channels(Joint& joint, std::size_t& next);
  Outcome take_numbers(std::size_t& next, Vec3& into);
  Outcome number(const Token& token, double& value) const;
  Outcome take_frame_words();
  Outcome take_row(std::string_view line, bool ended);
  Outcome choose_trunk();
  [[nodiscard]] std::optional<RestPose> rest_pose() const;
  [[nodiscard]] double height() const;
  [[nodiscard]] std::string joint_list() const;

  std::string file_;
  const ColumnAnswers& answers_;
  Recording recording_;
  Part part_ = Part::start;
  int line_ = 0;
  std::vector<Token> tokens_;  // of the line at hand
  std::vector<Joint> joints_;
  std::vector<int> open_;  // joints whose braces are open, the innermost last
  bool awaits_brace_ = false;
  std::size_t channels_ = 0;
  std::vector<double> values_;  // of the row at hand
  std::vector<int> chain_;      // joints from the root to the trunk
  double frames_said_ = 0, frame_time_ = 0;
  std::size_t rows_ = 0;
};

}  // namespace halfturn
