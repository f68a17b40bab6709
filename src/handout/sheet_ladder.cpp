#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sheet_pages.hpp"

namespace halfturn {
namespace {

constexpr double gap = 17;  // between plates, for the step chip
constexpr double lean = 3;  // the rails lean to the right by this per rung, up to a page's worth
constexpr double text_size = 7.9, leading = 9.9;
constexpr double least_height = 112, greatest_height = 178;  // of a plate
constexpr double dial_radius = 29;
constexpr double same_moment_s = 0.005;  // as the times are printed
constexpr double finish_size = 7.1, finish_leading = 8.7, finish_indent = 70;

/// A line of a plate's text: its weight, and the words.
struct TextLine {
  Weight weight = Weight::medium;
  bool dim = false;
  std::string text;
};

/// A line of a finish plan; `head` says what its paragraph is about.
struct FinishText {
  std::string head, text;
};

/// Everything on one rung, measured before it is placed.
struct Plate {
  std::size_t rung = 0;
  double height = 0;
  std::vector<TextLine> lines;
  std::vector<FinishText> finish;  ///< under all else, over the whole width
};

std::string air_words(const Rung& rung) {
  std::string words = air_needed_words(rung);
  if (rung.air_time_margin_s)
    words += ", " + air_margin_words(rung.air_time_needed_s, *rung.air_time_margin_s);
  if (rung.difficulty) words += fmt::format(", difficulty {:.1f}", *rung.difficulty);
  return words;
}

std::string start_words(const Rung& rung, const Walls& walls) {
  std::string words =
      fmt::format("start: facing {}, {}", facing_words(rung.start.heading_deg, walls), rung.start.stance);
  words += ", feet " + rung.start.feet;
  return words;
}

class LadderPages {
 public:
  explicit LadderPages(SheetJob& job) : job_(job), paper_(job.paper), c_(paper_palette()) {}

  void draw() {
    // The frame leaves the same room on every page; it is known only when it is drawn.
    const double width = paper_.width() - 2 * page_margin;
    plate_width_ = width - 30;
    text_width_ = 0.475 * (plate_width_ - 2 * dial_radius - 56);
    std::vector<Plate> plates;
    for (std::size_t k = 0; k < job_.ladder.rungs.size(); ++k) plates.push_back(measure(k));
    const std::vector<std::size_t> starts = pages_of(plates, page_room(paper_));
    for (std::size_t page = 0; page + 1 < starts.size(); ++page) {
      const PaperBox room =
          draw_page_frame(job_, job_.ladder.plan.title, plan_words(job_.ladder), page, starts.size() - 1);
      climb(plates, starts[page], starts[page + 1], room);
    }
  }

 private:
  Plate measure(std::size_t k) const {
    const Rung& rung = job_.ladder.rungs[k];
    const Walls& walls = job_.ladder.plan.walls;
    Plate plate;
    plate.rung = k;
    const auto add = [&](Weight weight, bool dim, const std::string& text) {
      for (std::string& line : paper_.wrap(text, text_size, weight, text_width_))
        plate.lines.push_back({weight, dim, std::move(line)});
    };
    add(Weight::bold, false, "lands facing " + facing_words(rung.landing.heading_deg, walls));
    add(Weight::medium, false, fmt::format("{}, {}", turned_words(rung.turn_deg), landing_words(rung)));
    add(Weight::medium, true, start_words(rung, walls));
    add(Weight::medium, false, rung.floor_walk);
    if (!rung.cue.empty()) add(Weight::bold, false, "\"" + rung.cue + "\"");
    // A jump that is too short is what the reader must not miss: in ink, with a mark, not in grey.
    const bool is_short =
        rung.air_time_margin_s && told_margin_s(rung.air_time_needed_s, *rung.air_time_margin_s) < 0;
    const bool drawn = job_.flight(k).provenance() == Provenance::drawn;
    add(is_short ? Weight::bold : Weight::medium, !is_short, (is_short ? "! " : "") + air_words(rung));
    add(is_short ? Weight::bold : Weight::medium, !is_short,
        !drawn     ? "figures: simulated"
        : is_short ? "! figures: only drawn, this jump does not get there"
                   : "figures: drawn, not simulated");
    for (const std::string& warning : rung.warnings) add(Weight::medium, true, "note: " + warning);
    if (k < job_.request.finishes.size()) plate.finish = finish_of(job_.request.finishes[k]);
    plate.height =
        std::max(least_height, 26 + leading * static_cast<double>(plate.lines.size())) + finish_height(plate);
    return plate;
  }

  /// A paragraph for each part, its word in front of the first line.
  std::vector<FinishText> finish_of(const FinishPlan& plan) const {
    std::vector<FinishText> lines;
    for (std::size_t i = 0; i < plan.lines.size();) {
      const FinishPart part = plan.lines[i].part;
      std::string head{finish_part_word(part)}, text;
      std::optional<double> before = part == FinishPart::in_the_air ? std::optional(0.0) : std::nullopt;
      for (; i < plan.lines.size() && plan.lines[i].part == part; ++i) {
        const FinishLine& line = plan.lines[i];
        text += text.empty() ? "" : " ";
        // A moment stands before the first of what belongs to it.
        const bool another = line.time_s && (!before || *line.time_s - *before > same_moment_s);
        if (another) text += fmt::format("{:.2f} s: ", *line.time_s);
        before = line.time_s;
        text += line.text;
      }
      for (std::string& line :
           paper_.wrap(text, finish_size, Weight::medium, plate_width_ - 34 - finish_indent)) {
        lines.push_back({head, std::move(line)});
        head.clear();
      }
    }
    return lines;
  }

  /// First rung of every page, and the count at the end. As many as fit, spread evenly over the pages.
  static std::vector<std::size_t> pages_of(const std::vector<Plate>& plates, double room) {
    const auto fill = [&](std::size_t most) {
      std::vector<std::size_t> starts{0};
      double used = 0;
      for (std::size_t k = 0; k < plates.size(); ++k) {
        const double need = plates[k].height + gap;
        if (k > starts.back() && (used + need > room + gap || k - starts.back() == most)) {
          starts.push_back(k);
          used = 0;
        }
        used += need;
      }
      starts.push_back(plates.size());
      return starts;
    };
    const std::vector<std::size_t> greedy = fill(plates.size());
    const std::size_t pages = greedy.size() - 1;
    const std::size_t even = (plates.size() + pages - 1) / pages;
    const std::vector<std::size_t> spread = fill(even);
    return spread.size() == greedy.size() ? spread : greedy;
  }

  void climb(const std::vector<Plate>& plates, std::size_t from, std::size_t to, const PaperBox& room) {
    const auto count = static_cast<double>(to - from);
    double used = -gap;
    for (std::size_t k = from; k < to; ++k) used += plates[k].height + gap;
    // What a page has to spare makes its plates, and the figures on them, taller.
    const double extra = std::max(0.0, room.h - used) / count;
    const auto height = [&](std::size_t k) {
      return std::max(plates[k].height,
                      std::min(greatest_height + finish_height(plates[k]), plates[k].height + extra));
    };
    double all = -gap;
    for (std::size_t k = from; k < to; ++k) all += height(k) + gap;
    double bottom = room.y + room.h;
    const bool goes_on = to < plates.size();
    const double rail_top = goes_on ? room.y - 4 : bottom - all - 9;
    for (const double share : {0.12, 0.88}) {
      const double x = room.x + 18 + share * plate_width_;
      paper_.line({{x - 2, bottom + 5}, {x + lean * count, std::max(room.y - 6, rail_top)}}, c_.hair, 4.5);
    }
    for (std::size_t k = from; k < to; ++k) {
      const double x = room.x + 18 + lean * static_cast<double>(k - from);
      if (k > from) chip(k, x + 0.5 * plate_width_, bottom + 0.5 * gap);
      plate(plates[k], {x, bottom - height(k), plate_width_, height(k)});
      bottom -= height(k) + gap;
    }
  }

  /// The step from the rung below.
  void chip(std::size_t k, double centre, double middle) {
    const Rung& rung = job_.ladder.rungs[k];
    const Step& step = job_.ladder.plan.steps[k - 1];
    std::string words = rung.step_deg == 0 ? "" : fmt::format("+{:.6g}\u00b0", rung.step_deg);
    for (const auto* part : {&step.takeoff, &step.setup, &step.shape, &step.surface}) {
      if (*part) words += (words.empty() ? "" : ", ") + **part;
    }
    const bool turns = rung.step_deg != 0;
    words = paper_.cut(words, 8, Weight::bold, 200);
    const double width = paper_.text_width(words, 8, Weight::bold) + (turns ? 34 : 20);
    paper_.plate(centre - 0.5 * width, middle - 7, width, 14, 7, c_.plate, c_.edge, 0.9);
    if (turns)
      draw_turn_arrow(paper_, {centre - 0.5 * width + 12, middle}, 4.6, sign_of(job_.ladder.plan.side));
    paper_.open("P");
    paper_.text({centre + (turns ? 8.0 : 0.0), middle + 2.9}, 8, Weight::bold, c_.ink, words, Align::centre);
    paper_.close("P");
  }

  static double finish_height(const Plate& plate) {
    return plate.finish.empty() ? 0 : 9 + finish_leading * static_cast<double>(plate.finish.size());
  }

  void plate(const Plate& plate, const PaperBox& whole) {
    const Rung& rung = job_.ladder.rungs[plate.rung];
    const bool target = plate.rung > 0 && plate.rung + 1 == job_.ladder.rungs.size();
    // What stands over the finish.
    const PaperBox box{whole.x, whole.y, whole.w, whole.h - finish_height(plate)};
    paper_.open("Sect");
    paper_.plate(whole.x, whole.y, whole.w, whole.h, 5, c_.plate, target ? c_.ink : c_.edge,
                 target ? 1.8 : 1.0);
    const PaperPoint dial{box.x + 24 + 1.30 * dial_radius, box.y + 0.5 * box.h + 3};
    paper_.open("Figure");
    draw_dial(paper_, dial, dial_radius, rung);
    paper_.close("Figure");
    paper_.open("H2");
    paper_.disc({box.x, box.y + 0.5 * box.h}, 11, c_.plate, c_.ink, 1.2);
    paper_.text({box.x, box.y + 0.5 * box.h + 4}, plate.rung < 100 ? 11 : 8, Weight::bold, c_.ink,
                rung_label(plate.rung), Align::centre);
    const double x = dial.x + 1.42 * dial_radius + 8;
    const double right = box.x + box.w - 12;
    const double strip_x = x + text_width_ + 12;
    paper_.text({x, box.y + 17}, 13.5, Weight::heavy, c_.ink,
                paper_.cut(rung.title, 13.5, Weight::heavy, text_width_ - (target ? 34 : 0)));
    paper_.close("H2");
    paper_.open("P");
    double y = box.y + 19;
    for (const TextLine& line : plate.lines) {
      y += leading;
      paper_.text({x, y}, text_size, line.weight, line.dim ? c_.dim : c_.ink, line.text);
    }
    paper_.close("P");
    paper_.open("Figure");
    draw_strip(paper_, {strip_x, box.y + 6, right - strip_x, box.h - 33}, job_.ladder, plate.rung,
               job_.flight(plate.rung));
    paper_.close("Figure");
    if (!plate.finish.empty()) {
      paper_.line({{box.x + 18, box.y + box.h}, {right, box.y + box.h}}, c_.hair, 0.6);
      paper_.open("P");
      double at = box.y + box.h + 1.5;
      for (const FinishText& line : plate.finish) {
        at += finish_leading;
        paper_.text({box.x + 20, at}, finish_size, Weight::bold, c_.ink, line.head);
        paper_.text({box.x + 20 + finish_indent, at}, finish_size, Weight::medium, c_.ink, line.text);
      }
      paper_.close("P");
    }
    gate(strip_x, right, box.y + box.h - 18);
    if (target)
      paper_.text({strip_x - 14, box.y + 16}, text_size, Weight::bold, c_.dim, "target", Align::right);
    paper_.close("Sect");
  }

  void gate(double x, double right, double y) {
    paper_.open("P");
    const int count = job_.ladder.plan.gate.needed;
    const double width = draw_boxes(paper_, {x, y}, count, std::min(11.0, 90.0 / (1.45 * count)));
    paper_.text({x + width + 1, y + 8.6}, text_size, Weight::medium, c_.ink, "in a row");
    paper_.text({right - 46, y + 8.6}, text_size, Weight::bold, c_.ink, "crashes", Align::right);
    paper_.line({{right - 42, y + 10}, {right - 24, y + 10}}, c_.ink, 0.8);
    paper_.text({right, y + 8.6}, text_size, Weight::medium, c_.dim, "aim 0", Align::right);
    paper_.close("P");
  }

  SheetJob& job_;
  Paper& paper_;
  const Palette& c_;
  double plate_width_ = 0, text_width_ = 0;
};

}  // namespace

void draw_ladder_pages(SheetJob& job) {
  LadderPages(job).draw();
}

}  // namespace halfturn
