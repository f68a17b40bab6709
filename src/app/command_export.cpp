#include <fmt/format.h>

#include <memory>

#include "command.hpp"
#include "format/file.hpp"
#include "format/orientation_csv.hpp"
#include "handout/model.hpp"
#include "plan_flights.hpp"
#include "plan_input.hpp"
#include "report.hpp"

namespace halfturn {
namespace {

struct ExportOptions {
  std::string plan, rung, hz = "120", output;
  FlightChoice flights;
  bool demo = false;
};

Exit run_export(const ExportOptions& options) {
  const bool model = options.output.ends_with(".glb");
  if (!model && !options.output.ends_with(".csv"))
    return report_bad_input(
        {"", "--output", fmt::format("\"{}\" is neither a .glb nor a .csv file", options.output)});
  const Result<LoadedPlan> plan = load_ladder(options.plan, options.demo);
  if (!plan) return report_bad_input(plan.problem());
  const Ladder& ladder = plan->ladder;
  std::size_t chosen = ladder.rungs.size() - 1;
  if (!options.rung.empty()) {
    const Result<std::size_t> rung = parse_rung_number(options.rung, ladder);
    if (!rung) return report_bad_input(rung.problem());
    chosen = *rung;
  }
  const Result<double> hz = parse_number(options.hz, "--hz");
  if (!hz) return report_bad_input(hz.problem());
  if (*hz < 1 || *hz > 10000)
    return report_bad_input({"", "--hz", fmt::format("is {}, must be from 1 to 10000", options.hz)});
  const Result<PlanFlights> flights = PlanFlights::make(options.flights);
  if (!flights) return report_bad_input(flights.problem());
  const Flight flight = flights->fly(ladder, chosen);
  std::string content;
  if (model) {
    content = gltf_binary(ladder, chosen, flight, *hz);
  } else {
    std::vector<OrientationRow> rows;
    for (const double time : output_times(flight.duration(), *hz)) {
      const FlightSample s = flight.at(time);
      rows.push_back({time, s.q_WB, s.omega_B});
    }
    content = orientation_csv(rows);
  }
  if (const Outcome problem = write_file(options.output, content)) return report_no_output(*problem);
  return Exit::done;
}

}  // namespace

void add_export_command(CLI::App& program, Command& chosen) {
  auto options = std::make_shared<ExportOptions>();
  ExportOptions& o = *options;
  CLI::App* command = program.add_subcommand(
      "export", "Write a rung's flight as a 3D file (.glb, glTF 2.0) or as orientations over time (.csv)");
  command->add_option("plan", o.plan, "Plan file");
  command->add_flag("--demo", o.demo, "The demo plan instead of one of your own");
  command->add_option("--rung", o.rung, "Rung, counted from 0; without it the target");
  command->add_option("--hz", o.hz, "Samples per second")->default_val("120");
  add_flight_options(*command, o.flights);
  command->add_option("-o,--output", o.output, "File to write, .glb or .csv")->required();
  command->callback([options, &chosen] { chosen = [options] { return run_export(*options); }; });
}

}  // namespace halfturn
