#include "format/progress_chart.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <map>

namespace halfturn {
namespace {

std::string escaped(std::string_view text) {
  std::string result;
  for (const char c : text) {
    if (c == '&') {
      result += "&amp;";
    } else if (c == '<') {
      result += "&lt;";
    } else if (c == '>') {
      result += "&gt;";
    } else if (c == '"') {
      result += "&quot;";
    } else if (static_cast<unsigned char>(c) >= 0x20) {
      result += c;
    }
  }
  return result;
}

constexpr double row_height = 110, bar_height = 56, name_width = 260, margin = 40, header = 110;

}  // namespace

std::string progress_chart_svg(const std::string& athlete, std::span<const ChartLine> lines) {
  // Columns are sessions in the order of time, the same for every rung.
  std::map<std::string, std::int64_t> first_time;
  int attempts = 0, controlled = 0, crashes = 0;
  for (const ChartLine& line : lines) {
    for (const SessionProgress& s : line.sessions) {
      const auto [it, is_new] = first_time.emplace(s.session, s.time_ms);
      if (!is_new) it->second = std::min(it->second, s.time_ms);
      attempts += s.attempts;
      controlled += s.controlled;
      crashes += s.crashes;
    }
  }
  std::vector<std::pair<std::int64_t, std::string>> sessions;
  for (const auto& [name, time] : first_time) sessions.emplace_back(time, name);
  std::sort(sessions.begin(), sessions.end());
  const double column =
      sessions.empty() ? 60 : std::clamp(1100.0 / static_cast<double>(sessions.size()), 24.0, 90.0);
  const double width =
      2 * margin + name_width + column * static_cast<double>(std::max<std::size_t>(sessions.size(), 6));
  const double height = header + row_height * static_cast<double>(lines.size()) + 2 * margin;
  std::string svg;
  const auto out = std::back_inserter(svg);
  fmt::format_to(
      out,
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0:.0f} {1:.0f}\" width=\"{0:.0f}\" "
      "height=\"{1:.0f}\" font-family=\"Inter, sans-serif\" fill=\"#1B2430\">\n"
      "<rect width=\"100%\" height=\"100%\" fill=\"#F6F3EC\"/>\n"
      "<text x=\"{2}\" y=\"68\" font-size=\"44\" font-weight=\"700\">{3}</text>\n"
      "<text x=\"{2}\" y=\"100\" font-size=\"20\">in hand {4} of {5}, crashes {6} (the aim is 0)</text>\n",
      width, height, margin, escaped(athlete), controlled, attempts, crashes);
  double y = header + margin;
  for (auto line = lines.rbegin(); line != lines.rend(); ++line, y += row_height) {
    const double ground = y + bar_height;
    fmt::format_to(
        out,
        "<text x=\"{}\" y=\"{:.0f}\" font-size=\"20\" font-weight=\"700\">{}</text>\n"
        "<line x1=\"{}\" y1=\"{:.0f}\" x2=\"{:.0f}\" y2=\"{:.0f}\" stroke=\"#8A8375\" stroke-width=\"2\"/>\n",
        margin, ground - 20, escaped(line->title), margin + name_width, ground, width - margin, ground);
    if (line->passed)
      fmt::format_to(out, "<text x=\"{}\" y=\"{:.0f}\" font-size=\"16\">passed</text>\n", margin, ground + 2);
    fmt::format_to(out, "<text x=\"{}\" y=\"{:.0f}\" font-size=\"16\">{}</text>\n", margin, ground + 22,
                   escaped(line->note));
    for (const SessionProgress& s : line->sessions) {
      const auto at = std::find_if(sessions.begin(), sessions.end(),
                                   [&](const auto& e) { return e.second == s.session; });
      const double x = margin + name_width + column * static_cast<double>(at - sessions.begin());
      const double share = s.attempts > 0 ? static_cast<double>(s.controlled) / s.attempts : 0;
      const double bar = column * 0.7;
      fmt::format_to(
          out,
          "<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" fill=\"none\" "
          "stroke=\"#8A8375\" "
          "stroke-width=\"1.5\"/>\n<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" "
          "fill=\"#009E73\"><title>{}: {} of {}</title></rect>\n",
          x, y, bar, bar_height, x, ground - share * bar_height, bar, share * bar_height, escaped(s.session),
          s.controlled, s.attempts);
      if (column >= 56) {
        fmt::format_to(
            out, "<text x=\"{:.1f}\" y=\"{:.0f}\" font-size=\"16\" text-anchor=\"middle\">{} of {}</text>\n",
            x + bar / 2, ground + 20, s.controlled, s.attempts);
      }
      for (int i = 0; i < s.crashes; ++i) {
        const double cx = x + 8 + 14 * i, cy = y - 10;
        fmt::format_to(
            out, "<path d=\"M{0:.1f} {1:.1f}l10 10m0 -10l-10 10\" stroke=\"#D55E00\" stroke-width=\"3\"/>\n",
            cx - 5, cy - 5);
      }
    }
  }
  return svg + "</svg>\n";
}

}  // namespace halfturn
