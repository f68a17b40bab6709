#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "handout/sheet.hpp"
#include "scene/scene.hpp"

namespace halfturn {

/// A place on the page: points (1/72 inch) to the right and down from the top left.
struct PaperPoint {
  double x = 0, y = 0;
};

/// Pages of vector graphics and text: one PDF, or one SVG per page. Lengths in points.
class Paper {
 public:
  [[nodiscard]] static Result<std::unique_ptr<Paper>> create(SheetFormat format, double width, double height,
                                                             const HandoutFonts& fonts,
                                                             const std::string& title,
                                                             const std::string& date);
  ~Paper();
  Paper(const Paper&) = delete;
  Paper& operator=(const Paper&) = delete;

  [[nodiscard]] double width() const;
  [[nodiscard]] double height() const;
  void next_page();
  /// The files' bytes; a problem when Cairo could not make them. Nothing can be drawn afterwards.
  [[nodiscard]] Result<std::vector<std::string>> finish();

  /// Marks what is drawn until close() as a part of the document: "Sect", "H1", "H2", "P", "Figure". PDF
  /// only.
  void open(const char* part);
  void close(const char* part);

  /// Fills (unless transparent) and outlines (unless the width is 0) a closed shape.
  void polygon(const std::vector<PaperPoint>& points, Color fill, Color line = {}, double width = 0);
  void line(const std::vector<PaperPoint>& points, Color color, double width, double dash = 0);
  void disc(PaperPoint centre, double radius, Color fill, Color line = {}, double width = 0);
  void plate(double x, double y, double w, double h, double radius, Color fill, Color line = {},
             double line_width = 0);

  [[nodiscard]] double text_width(std::string_view text, double size, Weight weight) const;
  /// Draws one line of text on a base line and gives its width. Letters that Inter lacks come from DejaVu.
  double text(PaperPoint base, double size, Weight weight, Color color, std::string_view text,
              Align align = Align::left);
  /// Breaks a text between words; a word wider than the line is broken within.
  [[nodiscard]] std::vector<std::string> wrap(std::string_view text, double size, Weight weight,
                                              double width) const;
  /// The text, or its start and three dots when it is wider.
  [[nodiscard]] std::string cut(std::string_view text, double size, Weight weight, double width) const;

 private:
  struct Implementation;
  explicit Paper(std::unique_ptr<Implementation> implementation);
  std::unique_ptr<Implementation> implementation_;
};

/// Valid UTF-8 without control characters: bytes that are neither become question marks, controls spaces.
[[nodiscard]] std::string printable(std::string_view text);

}  // namespace halfturn
