#include "session/terms.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cctype>
#include <string>

using namespace halfturn;

namespace {

std::string lower(std::string_view text) {
  std::string low(text);
  std::transform(low.begin(), low.end(), low.begin(), [](unsigned char c) { return std::tolower(c); });
  return low;
}

std::string found_in(std::string_view text) {
  const Term* term = term_in(text);
  return term == nullptr ? "" : std::string(term->word);
}

}  // namespace

TEST_CASE("terms go by the alphabet, each once, each with one sentence that says more than the word") {
  for (std::size_t i = 1; i < terms().size(); ++i) CHECK(lower(terms()[i - 1].word) < lower(terms()[i].word));
  for (const Term& term : terms()) {
    INFO(std::string(term.word));
    CHECK(term.meaning.size() > term.word.size());
    CHECK(term.meaning.size() <= 100);
    CHECK(term.meaning.back() != '.');
    CHECK(found_in(term.word) == term.word);
  }
}

TEST_CASE("a term is found as a word of its own, the longest first") {
  CHECK(found_in("lands blind, on two feet") == "blind");
  CHECK(found_in("angular momentum: 86 needed") == "angular momentum");
  CHECK(found_in("Two Twists and a half") == "twist");
  CHECK(found_in("double full") == "double full");
  CHECK(found_in("Rungs") == "rung");
  CHECK(found_in("a playful blindfold") == "");
  CHECK(found_in("settle the offset") == "");
  CHECK(found_in("") == "");
}
