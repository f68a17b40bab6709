#include "paper.hpp"

#include <cairo-pdf.h>
#include <cairo-svg.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

#include "cairo_font.hpp"

namespace halfturn {
namespace {

cairo_status_t append(void* closure, const unsigned char* data, unsigned length) {
  static_cast<std::string*>(closure)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

/// Length of the UTF-8 sequence that starts at a byte, 0 when there is none.
std::size_t sequence_length(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned first = byte(0);
  const std::size_t length = first < 0x80                    ? 1
                             : first >= 0xC2 && first < 0xE0 ? 2
                             : first >= 0xE0 && first < 0xF0 ? 3
                             : first >= 0xF0 && first < 0xF5 ? 4
                                                             : 0;
  if (length == 0 || length > text.size()) return 0;
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(i) & 0xC0U) != 0x80U) return 0;
  }
  // Overlong forms, surrogates and what lies beyond Unicode.
  if (length == 3 && ((first == 0xE0 && byte(1) < 0xA0) || (first == 0xED && byte(1) >= 0xA0))) return 0;
  if (length == 4 && ((first == 0xF0 && byte(1) < 0x90) || (first == 0xF4 && byte(1) >= 0x90))) return 0;
  return length;
}

/// Code point of a valid sequence.
unsigned long code_point(std::string_view sequence) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(sequence[i]); };
  if (sequence.size() == 1) return byte(0);
  unsigned long code = byte(0) & (0xFFU >> (sequence.size() + 1));
  for (std::size_t i = 1; i < sequence.size(); ++i) code = code << 6U | (byte(i) & 0x3FU);
  return code;
}

constexpr std::size_t font_count = 4;
constexpr std::size_t other_font = 3;

}  // namespace

std::string printable(std::string_view text) {
  std::string clean;
  while (!text.empty()) {
    const std::size_t length = sequence_length(text);
    const auto first = static_cast<unsigned char>(text[0]);
    const bool control = length == 1
                             ? first < 0x20 || first == 0x7F
                             : length == 2 && first == 0xC2 && static_cast<unsigned char>(text[1]) < 0xA0;
    if (length == 0) {
      clean += '?';
    } else if (control) {
      clean += ' ';
    } else {
      clean += text.substr(0, length);
    }
    text.remove_prefix(std::max<std::size_t>(1, length));
  }
  return clean;
}

struct Paper::Implementation {
  SheetFormat format = SheetFormat::pdf;
  double width = 0, height = 0;
  std::array<FT_Face, font_count> faces{};
  std::array<cairo_font_face_t*, font_count> fonts{};
  cairo_surface_t* surface = nullptr;
  cairo_t* cr = nullptr;
  std::vector<std::unique_ptr<std::string>> files;  // Cairo writes to where a file was when it began
  cairo_status_t trouble = CAIRO_STATUS_SUCCESS;

  Implementation() = default;
  Implementation(const Implementation&) = delete;
  Implementation& operator=(const Implementation&) = delete;
  ~Implementation() {
    end_surface();
    for (cairo_font_face_t* font : fonts) {
      if (font != nullptr) cairo_font_face_destroy(font);
    }
  }

  void begin_surface() {
    files.push_back(std::make_unique<std::string>());
    surface = format == SheetFormat::pdf
                  ? cairo_pdf_surface_create_for_stream(append, files.back().get(), width, height)
                  : cairo_svg_surface_create_for_stream(append, files.back().get(), width, height);
    cr = cairo_create(surface);
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
  }
  void end_surface() {
    if (cr == nullptr) return;
    if (trouble == CAIRO_STATUS_SUCCESS) trouble = cairo_status(cr);
    cairo_destroy(cr);
    cairo_surface_finish(surface);
    if (trouble == CAIRO_STATUS_SUCCESS) trouble = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    cr = nullptr;
    surface = nullptr;
  }
  void use(Color color) const {
    cairo_set_source_rgba(cr, color.r / 255.0, color.g / 255.0, color.b / 255.0, color.opacity);
  }
  /// Fills and outlines the current path.
  void paint(Color fill, Color line, double line_width) const {
    if (fill.opacity > 0) {
      use(fill);
      cairo_fill_preserve(cr);
    }
    if (line_width > 0) {
      use(line);
      cairo_set_line_width(cr, line_width);
      cairo_stroke_preserve(cr);
    }
    cairo_new_path(cr);
  }
  /// Calls action(run, font) for each stretch of text that one font has.
  template <class Action>
  void each_run(std::string_view text, Weight weight, const Action& action) const {
    const auto first_choice = static_cast<std::size_t>(weight);
    std::string run;
    std::size_t run_font = first_choice;
    while (!text.empty()) {
      const std::string_view letter = text.substr(0, sequence_length(text));
      const std::size_t font =
          FT_Get_Char_Index(faces[first_choice], code_point(letter)) == 0 ? other_font : first_choice;
      if (font != run_font && !run.empty()) {
        action(run, run_font);
        run.clear();
      }
      run_font = font;
      run += letter;
      text.remove_prefix(letter.size());
    }
    if (!run.empty()) action(run, run_font);
  }
  double run_width(const std::string& run, std::size_t font, double size) const {
    cairo_set_font_face(cr, fonts[font]);
    cairo_set_font_size(cr, size);
    cairo_text_extents_t extents;
    cairo_text_extents(cr, run.c_str(), &extents);
    return extents.x_advance;
  }
};

Paper::Paper(std::unique_ptr<Implementation> implementation) : implementation_(std::move(implementation)) {}
Paper::~Paper() = default;

Result<std::unique_ptr<Paper>> Paper::create(SheetFormat format, double width, double height,
                                             const HandoutFonts& fonts, const std::string& title,
                                             const std::string& date) {
  auto paper = std::make_unique<Implementation>();
  paper->format = format;
  paper->width = width;
  paper->height = height;
  const Problem no_fonts{"", "", "the fonts of the sheet cannot be read"};
  const std::string_view font_files[font_count] = {fonts.medium, fonts.bold, fonts.heavy, fonts.other};
  for (std::size_t i = 0; i < font_count; ++i) {
    const CairoFont opened = open_font(font_files[i]);
    if (opened.font == nullptr) return no_fonts;
    paper->faces[i] = opened.face;
    paper->fonts[i] = opened.font;
  }
  paper->begin_surface();
  if (format == SheetFormat::pdf) {
    cairo_pdf_surface_set_metadata(paper->surface, CAIRO_PDF_METADATA_TITLE, printable(title).c_str());
    if (!date.empty())
      cairo_pdf_surface_set_metadata(paper->surface, CAIRO_PDF_METADATA_CREATE_DATE, date.c_str());
  }
  return std::unique_ptr<Paper>(new Paper(std::move(paper)));
}

double Paper::width() const {
  return implementation_->width;
}
double Paper::height() const {
  return implementation_->height;
}

void Paper::next_page() {
  if (implementation_->format == SheetFormat::pdf) {
    cairo_show_page(implementation_->cr);
  } else {
    implementation_->end_surface();
    implementation_->begin_surface();
  }
}

Result<std::vector<std::string>> Paper::finish() {
  implementation_->end_surface();
  if (implementation_->trouble != CAIRO_STATUS_SUCCESS)
    return Problem{
        "", "",
        std::string("the sheet cannot be drawn: ") + cairo_status_to_string(implementation_->trouble)};
  std::vector<std::string> files;
  for (auto& file : implementation_->files) files.push_back(std::move(*file));
  return files;
}

void Paper::open(const char* part) {
  if (implementation_->format == SheetFormat::pdf) cairo_tag_begin(implementation_->cr, part, "");
}
void Paper::close(const char* part) {
  if (implementation_->format == SheetFormat::pdf) cairo_tag_end(implementation_->cr, part);
}

void Paper::polygon(const std::vector<PaperPoint>& points, Color fill, Color line, double width) {
  for (const PaperPoint& p : points) cairo_line_to(implementation_->cr, p.x, p.y);
  cairo_close_path(implementation_->cr);
  implementation_->paint(fill, line, width);
}

void Paper::line(const std::vector<PaperPoint>& points, Color color, double width, double dash) {
  cairo_t* cr = implementation_->cr;
  for (const PaperPoint& p : points) cairo_line_to(cr, p.x, p.y);
  if (dash > 0) cairo_set_dash(cr, &dash, 1, 0);
  implementation_->paint({0, 0, 0, 0}, color, width);
  cairo_set_dash(cr, nullptr, 0, 0);
}

void Paper::disc(PaperPoint centre, double radius, Color fill, Color line, double width) {
  cairo_new_sub_path(implementation_->cr);
  cairo_arc(implementation_->cr, centre.x, centre.y, radius, 0, 2 * std::numbers::pi);
  cairo_close_path(implementation_->cr);
  implementation_->paint(fill, line, width);
}

void Paper::plate(double x, double y, double w, double h, double radius, Color fill, Color line,
                  double line_width) {
  cairo_t* cr = implementation_->cr;
  const double quarter = std::numbers::pi / 2;
  cairo_new_sub_path(cr);
  cairo_arc(cr, x + w - radius, y + radius, radius, -quarter, 0);
  cairo_arc(cr, x + w - radius, y + h - radius, radius, 0, quarter);
  cairo_arc(cr, x + radius, y + h - radius, radius, quarter, 2 * quarter);
  cairo_arc(cr, x + radius, y + radius, radius, 2 * quarter, 3 * quarter);
  cairo_close_path(cr);
  implementation_->paint(fill, line, line_width);
}

double Paper::text_width(std::string_view text, double size, Weight weight) const {
  double width = 0;
  implementation_->each_run(printable(text), weight, [&](const std::string& run, std::size_t font) {
    width += implementation_->run_width(run, font, size);
  });
  return width;
}

double Paper::text(PaperPoint base, double size, Weight weight, Color color, std::string_view text,
                   Align align) {
  const double width = text_width(text, size, weight);
  double x = align == Align::left ? base.x : align == Align::centre ? base.x - 0.5 * width : base.x - width;
  implementation_->use(color);
  implementation_->each_run(printable(text), weight, [&](const std::string& run, std::size_t font) {
    const double advance = implementation_->run_width(run, font, size);
    cairo_move_to(implementation_->cr, x, base.y);
    cairo_show_text(implementation_->cr, run.c_str());
    x += advance;
  });
  cairo_new_path(implementation_->cr);
  return width;
}

std::vector<std::string> Paper::wrap(std::string_view text, double size, Weight weight, double width) const {
  const std::string clean = printable(text);
  std::vector<std::string> lines;
  std::string line;
  const auto fits = [&](const std::string& candidate) {
    return text_width(candidate, size, weight) <= width;
  };
  std::size_t at = 0;
  while (at < clean.size()) {
    const std::size_t space = std::min(clean.find(' ', at), clean.size());
    std::string word = clean.substr(at, space - at);
    at = space + 1;
    if (word.empty()) continue;
    if (!line.empty() && fits(line + " " + word)) {
      line += " " + word;
      continue;
    }
    if (!line.empty()) lines.push_back(std::exchange(line, ""));
    while (!fits(word)) {
      std::size_t keep = sequence_length(word);
      for (std::size_t next = keep; next < word.size() && fits(word.substr(0, next));) {
        keep = next;
        next += sequence_length(std::string_view(word).substr(next));
      }
      if (keep >= word.size()) break;
      lines.push_back(word.substr(0, keep));
      word.erase(0, keep);
    }
    line = word;
  }
  if (!line.empty()) lines.push_back(line);
  return lines;
}

std::string Paper::cut(std::string_view text, double size, Weight weight, double width) const {
  std::string clean = printable(text);
  if (text_width(clean, size, weight) <= width) return clean;
  while (!clean.empty() && text_width(clean + "...", size, weight) > width) {
    do {
      const char last = clean.back();
      clean.pop_back();
      if ((static_cast<unsigned char>(last) & 0xC0U) != 0x80U) break;
    } while (!clean.empty());
  }
  return clean + "...";
}

}  // namespace halfturn
