#include "panels/fonts.hpp"

#include <doctest/doctest.h>
#include <imgui.h>

#include <string>

#include "driver.hpp"

using namespace halfturn;

TEST_CASE("every letter that a panel shows is in the atlas and has a picture") {
  for (int number = 0; number < sheet_count; ++number) {
    const auto sheet = static_cast<Sheet>(number);
    PanelDriver driver;
    driver.push(ShowCurves{true});
    driver.push(ShowSheet{sheet});
    for (int page = 0; page <= static_cast<int>(PlanPage::title); ++page) {
      if (sheet == Sheet::plan) driver.push(ShowPage{static_cast<PlanPage>(page)});
      driver.frame();
      std::vector<std::string_view> texts;
      for (const WidgetRecord& record : driver.records()) {
        texts.push_back(record.label);
        texts.push_back(record.value);
      }
      CHECK(missing_code_points(driver.fonts(), texts).empty());
    }
  }
  PanelDriver driver;
  // The table of differences, with every fact there is.
  FlightFacts facts;
  facts.momentum = 52.5;
  const Session& s = driver.session();
  const StageFacts stages[] = {{s.ladder->rungs[0], facts}, {s.ladder->rungs[1], facts}};
  for (const CompareRow& row : compare_table(stages, s.plan.walls)) {
    CAPTURE(row.caption);
    CHECK(missing_code_points(driver.fonts(), {row.caption, row.values[0], row.values[1]}).empty());
  }
  for (const unsigned c : interface_code_points()) {
    CAPTURE(c);
    for (int type = 0; type < type_count; ++type) {
      if (c != 0xFFFD)
        CHECK(driver.fonts()[static_cast<Type>(type)]->FindGlyphNoFallback(static_cast<ImWchar>(c)) !=
              nullptr);
    }
  }
}

TEST_CASE("letters a coach types are found and added") {
  PanelDriver driver;
  const std::string name = "fen\u00eatre \u0444\u043e\u0440";
  const std::set<unsigned> missing = missing_code_points(driver.fonts(), {name});
  CHECK(missing == std::set<unsigned>{0xEA, 0x444, 0x43E, 0x440});
  ImFontAtlas atlas;
  const Fonts more = build_fonts(atlas, 1, missing);
  CHECK(missing_code_points(more, {name}).empty());
  for (const unsigned c : missing)
    CHECK(more[Type::text]->FindGlyphNoFallback(static_cast<ImWchar>(c)) != nullptr);
}

TEST_CASE("broken UTF-8 does no harm") {
  PanelDriver driver;
  CHECK(missing_code_points(driver.fonts(), {"\xff\xfe\x80", "\xc3"}).empty());
}
