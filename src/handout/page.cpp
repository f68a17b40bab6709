#include "handout/page.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "figure_shapes.hpp"
#include "format/json_reader.hpp"
#include "format/plan_file.hpp"
#include "handout/pictures.hpp"
#include "handout_embedded.hpp"
#include "ladder/attempt_record.hpp"
#include "scene/compose.hpp"
#include "scene/figure_parts.hpp"
#include "scene/projection.hpp"
#include "sheet_pages.hpp"

namespace halfturn {
namespace {

// What a page may hold, so that it stays small enough to be sent: this project's choice.
constexpr std::size_t most_rungs_with_stage = 24, most_rungs_with_pictures = 48;
constexpr std::size_t frames_of_all = 110;
constexpr int stage_width = 720, stage_height = 620, still_width = 800, still_height = 440;

std::string as_html(std::string_view text) {
  std::string html;
  for (const char c : printable(text)) {
    switch (c) {
      case '&':
        html += "&amp;";
        break;
      case '<':
        html += "&lt;";
        break;
      case '>':
        html += "&gt;";
        break;
      case '"':
        html += "&quot;";
        break;
      case '\'':
        html += "&#39;";
        break;
      default:
        html += c;
    }
  }
  return html;
}

std::string base64(std::string_view bytes) {
  constexpr std::string_view digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  text.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    unsigned group = 0;
    for (std::size_t k = 0; k < 3; ++k)
      group = group << 8U | (i + k < bytes.size() ? static_cast<unsigned char>(bytes[i + k]) : 0U);
    for (std::size_t k = 0; k < 4; ++k)
      text += k <= std::min<std::size_t>(3, bytes.size() - i) ? digits[group >> (18U - 6U * k) & 63U] : '=';
  }
  return text;
}

std::string as_link(const std::string& png) {
  return "data:image/png;base64," + base64(png);
}

View page_view(int width, int height, CameraKind camera) {
  View view;
  view.camera = camera;
  view.width_px = width;
  view.height_px = height;
  // Letters are read on a screen half as wide as the picture.
  view.scale = 1.8;
  view.toggles.ghosts = view.toggles.traces = false;
  return view;
}

class Page {
 public:
  Page(const Ladder& ladder, const PageSource& source) : ladder_(ladder), source_(source) {}

  /// With a stage of its own: drawn from the frames that are put into the page.
  Result<std::string> make() {
    const Result<std::string> articles = rung_articles(true);
    if (!articles) return articles.problem();
    const Palette& c = palette_of(Theme::light);
    Json colours = Json::array();
    for (const std::string& colour : colours_) colours.push_back(colour);
    Json data{{"athlete", printable(ladder_.plan.athlete)},
              {"line", web_colour(c.line)},
              {"halo", web_colour(c.halo)},
              {"colours", std::move(colours)},
              {"rungs", std::move(rungs_)}};
    return filled(
        embedded::still_page_html, *articles,
        {{"SHELF", std::string(embedded::shelf_js)}, {"DATA", in_script(data.dump(-1, ' ', true))}});
  }

  /// With the viewer itself, which reads the plan.
  Result<std::string> make_with(std::string_view viewer) {
    const Result<std::string> articles = rung_articles(false);
    if (!articles) return articles.problem();
    // How somebody else's viewer was left, and their notes, are not handed on.
    return filled(viewer, *articles,
                  {{"PLAN", in_script(write_plan({ladder_.plan, nullptr, nullptr}))},
                   {"FLIGHTS", in_script(source_.flights)}});
  }

 private:
  /// Inside a script element nothing may look like markup.
  static std::string in_script(std::string json) {
    for (std::size_t at = 0; (at = json.find('<', at)) != std::string::npos;) json.replace(at, 1, "\\u003c");
    return json;
  }

  Result<std::string> rung_articles(bool with_frames) {
    const std::size_t count = ladder_.rungs.size();
    std::string articles;
    for (std::size_t k = 0; k < count; ++k) {
      if (!source_.go_on(k)) return Problem{"", "", "cancelled; nothing was written"};
      const Flight flight = source_.flight(k);
      if (flight.provenance() == Provenance::simulated) ++simulated_;
      Result<std::string> article = rung_article(k, flight);
      if (!article) return article.problem();
      // The target on top, as the ladder is climbed.
      articles.insert(0, *article);
      if (!with_frames || count > most_rungs_with_stage) continue;
      Result<Json> data = rung_data(k, flight);
      if (!data) return data.problem();
      rungs_.push_back(std::move(data).value());
    }
    return articles;
  }

  static std::string web_colour(Color c) { return fmt::format("#{:02x}{:02x}{:02x}", c.r, c.g, c.b); }
  static double tenth(double value) { return std::round(10 * value) / 10; }

  /// The page with every @NAME@ replaced once, what is put in left alone.
  [[nodiscard]] std::string filled(std::string_view rest, const std::string& articles,
                                   std::map<std::string, std::string> parts) const {
    const Plan& plan = ladder_.plan;
    const std::string side(word(plan.side));
    parts.insert({{"TITLE", as_html(plan.title)},
                  {"SIDE", side},
                  {"LETTER", plan.side == Side::left ? "L" : "R"},
                  {"UNDER", as_html(plan_words(ladder_) + ", twists " + side +
                                    (plan.athlete.empty() ? "" : "; " + plan.athlete))},
                  {"CAUTION", as_html(std::string(ladder_caution) + " " + flights_caution())},
                  {"RUNGS", articles}});
    std::string page;
    for (;;) {
      const std::size_t from = rest.find('@');
      if (from == std::string_view::npos) break;
      const std::size_t to = rest.find('@', from + 1);
      const auto part = to == std::string_view::npos
                            ? parts.end()
                            : parts.find(std::string(rest.substr(from + 1, to - from - 1)));
      page += rest.substr(0, from);
      if (part == parts.end()) {
        page += '@';
        rest.remove_prefix(from + 1);
      } else {
        page += part->second;
        rest.remove_prefix(to + 1);
      }
    }
    return page.append(rest);
  }

  /// What the flights of this page are worth.
  [[nodiscard]] std::string flights_caution() const {
    if (simulated_ == 0) return "The flights are drawn to teach where to face, not simulated.";
    const char* drawn = simulated_ < ladder_.rungs.size()
                            ? " Those that no body was found to fly are drawn, to teach where to face."
                            : "";
    return fmt::format("The flights are simulated: estimates of a model.{}", drawn);
  }

  Result<std::string> rung_article(std::size_t k, const Flight& flight) const {
    const Rung& rung = ladder_.rungs[k];
    const Walls& walls = ladder_.plan.walls;
    std::string html = fmt::format("<article id=\"rung-{}\" data-label=\"{}\">\n", k, rung_label(k));
    const auto paragraph = [&](const char* kind, const std::string& text) {
      html += fmt::format("<p{}>{}</p>\n", kind, as_html(text));
    };
    html += fmt::format("<h2>{}</h2>\n", as_html(rung.title));
    html += fmt::format("<p>lands facing <b>{}</b></p>\n",
                        as_html(facing_words(rung.landing.heading_deg, walls)));
    paragraph("", fmt::format("{}, {}", turned_words(rung.turn_deg), landing_words(rung)));
    if (ladder_.rungs.size() <= most_rungs_with_pictures) {
      const View view = page_view(still_width, still_height, CameraKind::side);
      const Result<std::string> png = source_.draw(compose_exposures(ladder_, k, flight, 7, view));
      if (!png) return png.problem();
      html +=
          fmt::format("<img width=\"{}\" height=\"{}\" loading=\"lazy\" alt=\"{}\" src=\"{}\">\n",
                      still_width, still_height,
                      as_html(fmt::format("{} from takeoff at the left to landing at the right, spread apart",
                                          rung.title)),
                      as_link(*png));
    }
    paragraph(" class=\"dim\"",
              fmt::format("start: facing {}, {}, feet {}", facing_words(rung.start.heading_deg, walls),
                          rung.start.stance, rung.start.feet));
    paragraph("", rung.floor_walk);
    if (!rung.cue.empty()) paragraph("", "\"" + rung.cue + "\"");
    paragraph(" class=\"dim\"", air_needed_words(rung));
    if (k < source_.made_by.size()) paragraph(" class=\"dim\"", "the flight: " + source_.made_by[k]);
    for (const std::string& warning : rung.warnings) paragraph(" class=\"dim\"", "note: " + warning);
    return html + "</article>\n";
  }

  Result<Json> rung_data(std::size_t k, const Flight& flight) {
    const Rung& rung = ladder_.rungs[k];
    const RungKey key = rung_key(ladder_, k);
    Json data{{"label", rung_label(k)},
              {"title", printable(rung.title)},
              {"wall", printable(facing_words(rung.landing.heading_deg, ladder_.plan.walls))},
              {"turn", turned_words(rung.turn_deg)},
              {"turn_deg", rung.turn_deg},
              {"landing", landing_words(rung)},
              {"landing_heading_deg", rung.landing.heading_deg},
              {"duration_s", flight.duration()},
              {"key",
               {{"skill", printable(key.skill)},
                {"twist_deg", key.twist_deg},
                {"side", std::string(word(key.side))},
                {"takeoff", printable(key.takeoff)},
                {"surface", printable(key.surface)},
                {"setup", printable(key.setup)},
                {"shape", printable(key.shape)},
                {"timing", key.early ? "early" : "late"}}},
              {"views", Json::array()}};
    for (const CameraKind camera : {CameraKind::side, CameraKind::above}) {
      Result<Json> view = view_data(k, flight, camera);
      if (!view) return view.problem();
      data["views"].push_back(std::move(view).value());
    }
    return data;
  }

  Result<Json> view_data(std::size_t k, const Flight& flight, CameraKind camera) {
    const View view = page_view(stage_width, stage_height, camera);
    // The room and the dial as on landing; the flyer is drawn on top of it.
    Scene backdrop = compose(ladder_, k, flight, flight.duration(), view);
    std::erase_if(backdrop.items, [](const SceneItem& item) {
      const auto* shadow = std::get_if<Shadow>(&item);
      return std::holds_alternative<Figure>(item) || (shadow != nullptr && shadow->of_flyer);
    });
    const Result<std::string> png = source_.draw(backdrop);
    if (!png) return png.problem();
    Json frames = Json::array();
    const int last = static_cast<int>(std::clamp<std::size_t>(frames_of_all / ladder_.rungs.size(), 10, 22));
    for (int i = 0; i <= last; ++i)
      frames.push_back(frame_data(k, flight, flight.duration() * i / last, view));
    return Json{{"width", stage_width},
                {"height", stage_height},
                {"picture", as_link(*png)},
                {"frames", std::move(frames)}};
  }

  /// Limbs as [colour, round ends, x, y, r, x, y, r, stripes...], faces as [colour, [x, y, ...]].
  Json frame_data(std::size_t k, const Flight& flight, double time, const View& view) {
    const FlightSample now = sample_in_picture(ladder_.rungs[k], flight, time);
    const Projector projector(
        projection_for(camera_for(ladder_, k, now, view), view, room_for(ladder_, view)));
    Json limbs = Json::array();
    const Figure figure = figure_at(body_, ladder_.rungs[k], flight, time, view.theme, view.scale);
    for (const FlatPart& part : flat_parts(figure, projector, {0, 0})) {
      Json list{colour_index(part.color)};
      if (part.limb) {
        list.push_back((part.round_from ? 1 : 0) + (part.round_to ? 2 : 0));
        add_circle(list, part.from);
        add_circle(list, part.to);
        for (const auto& stripe : part.stripes) {
          add_circle(list, stripe[0]);
          add_circle(list, stripe[1]);
        }
      } else {
        Json points = Json::array();
        for (const PaperPoint& p : part.points) {
          points.push_back(tenth(p.x));
          points.push_back(tenth(p.y));
        }
        list.push_back(std::move(points));
      }
      limbs.push_back(std::move(list));
    }
    const auto foot = projector.to_px({now.com_W.x, 0, now.com_W.z});
    return Json{{"words", printable(source_.words(k, flight, time))},
                {"shadow",
                 {tenth(foot ? foot->x : 0), tenth(foot ? foot->y : 0),
                  tenth(foot ? 0.45 * projector.px_per_m(foot->z) : 0)}},
                {"limbs", std::move(limbs)}};
  }

  static void add_circle(Json& list, const Circle& c) {
    for (const double value : {c.centre.x, c.centre.y, c.radius}) list.push_back(tenth(value));
  }
  std::size_t colour_index(Color color) {
    const std::string name = web_colour(color);
    const auto known = std::find(colours_.begin(), colours_.end(), name);
    if (known != colours_.end()) return static_cast<std::size_t>(known - colours_.begin());
    colours_.push_back(name);
    return colours_.size() - 1;
  }

  const Ladder& ladder_;
  const PageSource& source_;
  const HumanBody body_ = human_body(Athlete{});
  std::vector<std::string> colours_;
  std::size_t simulated_ = 0;   // rungs
  Json rungs_ = Json::array();  // with frames
};

}  // namespace

Result<std::string> still_page(const Ladder& ladder, const PageSource& source) {
  return Page(ladder, source).make();
}

Result<std::string> viewer_page(const Ladder& ladder, const PageSource& source, std::string_view viewer) {
  return Page(ladder, source).make_with(viewer);
}

}  // namespace halfturn
