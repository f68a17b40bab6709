#include <fmt/format.h>

#include <memory>

#include "command.hpp"
#include "format/chain_json.hpp"
#include "format/file.hpp"
#include "format/link_file.hpp"
#include "format/plan_file.hpp"
#include "format/vocabulary_file.hpp"
#include "report.hpp"

namespace halfturn {
namespace {

struct ChainOptions {
  std::vector<std::string> items;
  std::string plan, side, heading, output;
  bool json = false, list = false;
};

/// The plan that the chain belongs to: read, or an empty one with the side and heading that were given.
Result<PlanFile> plan_of(const ChainOptions& options) {
  PlanFile file;
  if (!options.plan.empty()) {
    Result<PlanFile> loaded = load_plan(options.plan);
    if (!loaded) return loaded;
    file = std::move(loaded).value();
  }
  if (!options.side.empty()) file.plan.side = options.side == "right" ? Side::right : Side::left;
  if (!options.heading.empty()) {
    const Result<double> heading = parse_number(options.heading, "--start-heading");
    if (!heading) return heading.problem();
    file.plan.held_heading_deg = *heading;
  }
  if (!options.items.empty()) file.plan.chain.clear();
  for (const std::string& text : options.items) {
    const Result<ChainItem> item = parse_chain_item(text, built_in_links());
    if (!item) return item.problem();
    file.plan.chain.push_back(*item);
  }
  if (file.plan.chain.empty()) {
    return Problem{options.plan, "chain",
                   "is empty: name its links, for instance halfturn chain roundoff \"back flip:180\""};
  }
  return file;
}

std::string links_text() {
  std::string text;
  for (const Link& link : built_in_links().links)
    text += fmt::format("{:<26} {}\n", link.name, link.setup ? "setup" : "transition");
  return text;
}

Exit run_chain_command(const ChainOptions& options) {
  if (options.list) return print(links_text());
  const Result<PlanFile> file = plan_of(options);
  if (!file) return report_bad_input(file.problem());
  const Result<ChainRun> run =
      run_chain(file->plan, built_in_vocabulary(), built_in_links(), built_in_difficulty());
  if (!run) {
    Problem problem = run.problem();
    problem.file = options.plan;
    return report_bad_input(problem);
  }
  if (!options.output.empty()) {
    if (const Outcome problem = write_file(options.output, write_plan(*file)))
      return report_no_output(*problem);
  }
  const Exit printed =
      print(options.json ? chain_json(*run).dump(2) + "\n"
                         : chain_words(*run, file->plan.walls) + "\n" + std::string(ladder_caution) + "\n");
  if (printed != Exit::done) return printed;
  return run->fits() ? Exit::done : Exit::no;
}

}  // namespace

void add_chain_command(CLI::App& program, Command& chosen) {
  auto options = std::make_shared<ChainOptions>();
  ChainOptions& o = *options;
  CLI::App* command = program.add_subcommand(
      "chain", "Run headings, feet and travel through a chain of skills; exit 1 when a joint does not fit");
  command->add_option(
      "links", o.items,
      "Setups, transitions and skills in order: roundoff \"back flip:180\" step; a skill with its "
      "degrees behind a colon, a link or skill of the other side with :left or :right");
  command->add_option("--plan", o.plan, "The plan file whose chain is meant");
  command->add_option("--side", o.side, "The way the chest turns")->check(CLI::IsMember({"left", "right"}));
  command->add_option("--start-heading", o.heading, "Heading at the start, degrees, left positive");
  command->add_flag("--list", o.list, "Print the setups and transitions there are");
  command->add_option("-o,--output", o.output, "Write the plan with this chain to a file");
  command->add_flag("--json", o.json, "Print one JSON object");
  command->callback([options, &chosen] { chosen = [options] { return run_chain_command(*options); }; });
}

}  // namespace halfturn
