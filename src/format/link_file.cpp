#include "format/link_file.hpp"

#include "built_in.hpp"
#include "format/json_reader.hpp"
#include "format_embedded.hpp"

namespace halfturn {

Result<LinkBook> read_links(std::string_view text, const std::string& file) {
  const Result<Json> json = parse_json(text, file);
  if (!json) return json.problem();
  JsonReader::Log log{file, std::nullopt};
  const JsonReader root(&json.value(), "", &log);
  root.expect_keys({"format", "version", "links"});
  root.expect_format("halfturn-links", 1);
  const std::vector<std::string> ways{"forward", "backward", "left", "right", "in place"};
  LinkBook book;
  for (const JsonReader& entry : root.at("links").elements()) {
    entry.expect_keys({"name", "kind", "turn_deg", "start_feet", "end_feet", "travel", "travel_m", "carries",
                       "duration_s"});
    Link link;
    link.name = entry.at("name").string();
    if (!entry.failed() && (link.name.empty() || link.name.size() > 60))
      entry.at("name").complain("a name of 1 to 60 letters is needed");
    if (!entry.failed() && book.find(link.name) != nullptr) entry.at("name").complain("is given twice");
    link.setup = entry.at("kind").one_of({"setup", "transition"}) == "setup";
    link.turn_deg = entry.at("turn_deg").number(-720, 720);
    link.start_feet = entry.at("start_feet").one_of({"any", "both", "left", "right"});
    link.end_feet = entry.at("end_feet").one_of({"both", "left", "right"});
    link.travel = entry.at("travel").one_of(ways);
    link.travel_m = entry.at("travel_m").number(0, 30);
    link.carries = entry.at("carries").one_of(ways);
    link.duration_s = entry.at("duration_s").number(0.05, 30);
    book.links.push_back(std::move(link));
  }
  if (log.problem) return *log.problem;
  return book;
}

const LinkBook& built_in_links() {
  static const LinkBook book = built_in(read_links(embedded::links_json, "assets/links.json"));
  return book;
}

}  // namespace halfturn
