#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <memory>
#include <utility>

#include "command.hpp"
#include "flight/simulated.hpp"
#include "format/body_file.hpp"
#include "format/file.hpp"
#include "format/json_reader.hpp"
#include "format/motion_file.hpp"
#include "format/orientation_csv.hpp"
#include "report.hpp"
#include "rotation/angle_split.hpp"

namespace halfturn {
namespace {

struct FlyOptions {
  std::string body, motion, accuracy = "1e-6";
  bool csv = false;
  bool json = false;
};

constexpr double finest_accuracy = 1e-13;
constexpr double coarsest_accuracy = 0.1;

std::string json_text(const MotionFile& motion, const Vec3& momentum_W,
                      const std::vector<OrientationRow>& rows) {
  Json list = Json::array();
  for (const OrientationRow& row : rows) {
    list.push_back({row.time, row.q_WB.w, row.q_WB.x, row.q_WB.y, row.q_WB.z, row.omega_B.x, row.omega_B.y,
                    row.omega_B.z});
  }
  return Json{{"name", motion.name},
              {"angular_momentum_world_kgm2_s", {momentum_W.x, momentum_W.y, momentum_W.z}},
              {"columns", {"t", "qw", "qx", "qy", "qz", "wx", "wy", "wz"}},
              {"rows", std::move(list)}}
             .dump() +
         "\n";
}

std::string human_text(const BodyTree& body, const MotionFile& motion, const Vec3& momentum_W,
                       const std::vector<OrientationRow>& rows) {
  std::string text;
  const auto out = std::back_inserter(text);
  fmt::format_to(out, "{}: {:.6g} s, body of {:.6g} kg, angular momentum {:.6g}, {:.6g}, {:.6g} kg m2/s\n\n",
                 motion.name.empty() ? "motion" : motion.name, motion.duration_s, body.mass(), momentum_W.x,
                 momentum_W.y, momentum_W.z);
  fmt::format_to(out, "{:>8} {:>12} {:>8} {:>8} {:>13}\n", "time s", "somersault", "tilt", "twist",
                 "rate deg/s");
  // Eleven rows give the picture; the whole flight comes with --csv.
  const std::size_t last = rows.size() - 1;
  const std::size_t shown = std::min<std::size_t>(10, last);
  for (std::size_t k = 0; k <= shown; ++k) {
    const OrientationRow& row = rows[shown == 0 ? 0 : k * last / shown];
    const AngleSplit split = split_angles(row.q_WB, 0.0);
    fmt::format_to(out, "{:8.3f} ", row.time);
    if (split.ill_conditioned) {
      fmt::format_to(out, "{:>12} {:8.1f} {:>8}", "-", to_deg(split.tilt), "-");
    } else {
      fmt::format_to(out, "{:12.1f} {:8.1f} {:8.1f}", to_deg(split.somersault), to_deg(split.tilt),
                     to_deg(split.twist));
    }
    fmt::format_to(out, " {:13.1f}\n", to_deg(glm::length(row.omega_B)));
  }
  return text;
}

Exit run_fly(const FlyOptions& options) {
  const Result<double> accuracy = parse_number(options.accuracy, "--accuracy");
  if (!accuracy) return report_bad_input(accuracy.problem());
  if (*accuracy < finest_accuracy || *accuracy > coarsest_accuracy) {
    return report_bad_input({"", "--accuracy",
                             fmt::format("is {}, must be between {:g} and {:g} rad", options.accuracy,
                                         finest_accuracy, coarsest_accuracy)});
  }
  const Result<std::string> body_text = read_file(options.body);
  if (!body_text) return report_bad_input(body_text.problem());
  const Result<BodyTree> tree = read_body(*body_text, options.body);
  if (!tree) return report_bad_input(tree.problem());
  const Result<std::string> motion_text = read_file(options.motion);
  if (!motion_text) return report_bad_input(motion_text.problem());
  const Result<MotionFile> motion = read_motion(*motion_text, options.motion, *tree);
  if (!motion) return report_bad_input(motion.problem());

  const auto body = std::make_shared<const MovingBody>(*tree, motion->tracks, motion->duration_s);
  const Spin takeoff{motion->takeoff_q_WB,
                     motion->angular_momentum_W
                         ? *motion->angular_momentum_W
                         : momentum_of_rate(*body, motion->takeoff_q_WB, motion->omega_B.value_or(Vec3(0)))};
  const Result<SimulatedRotation> rotation = SimulatedRotation::make(body, takeoff, *accuracy);
  if (!rotation) {
    Problem problem = rotation.problem();
    if (problem.place == "segments") {
      problem.file = options.body;
    } else {
      problem.place = "--accuracy";
    }
    return report_bad_input(problem);
  }
  std::vector<OrientationRow> rows;
  for (const double time : output_times(motion->duration_s, motion->output_hz)) {
    const Quat q = rotation->orientation(time);
    rows.push_back({time, q, rotation->rate(time, q)});
  }
  if (options.csv) return print(orientation_csv(rows));
  if (options.json) return print(json_text(*motion, takeoff.angular_momentum_W, rows));
  return print(human_text(*tree, *motion, takeoff.angular_momentum_W, rows));
}

}  // namespace

void add_fly_command(CLI::App& program, Command& chosen) {
  auto options = std::make_shared<FlyOptions>();
  FlyOptions& o = *options;
  CLI::App* command = program.add_subcommand("fly", "Simulate the free flight of any jointed body");
  command->add_option("--body", o.body, "Body file: a tree of segments")->required();
  command->add_option("--motion", o.motion, "Motion file: takeoff and joint angles over time")->required();
  command->add_option("--accuracy", o.accuracy, "Greatest error of the orientation at every output, rad")
      ->default_val("1e-6");
  CLI::Option* csv =
      command->add_flag("--csv", o.csv, "Print t,qw,qx,qy,qz,wx,wy,wz of the reference segment");
  command->add_flag("--json", o.json, "Print one JSON object")->excludes(csv);
  command->callback([options, &chosen] { chosen = [options] { return run_fly(*options); }; });
}

}  // namespace halfturn
