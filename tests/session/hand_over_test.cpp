#include "session/hand_over.hpp"

#include <algorithm>
#include <set>

#include "sample.hpp"

using namespace halfturn;

namespace {

Session handing(HandOverForm form, std::string path = "/club/") {
  Session s = sample_session();
  s.hand_over.path = std::move(path);
  return after(s, {ChooseHandOver{form}});
}

bool has(const std::vector<std::string>& arguments, const std::string& option, const std::string& value) {
  const auto found = std::find(arguments.begin(), arguments.end(), option);
  return found != arguments.end() && found + 1 != arguments.end() && *(found + 1) == value;
}

}  // namespace

TEST_CASE("every form has a word, a sentence and an ending of its own kind") {
  std::set<std::string_view> words;
  for (int k = 0; k < hand_over_form_count; ++k) {
    const auto form = static_cast<HandOverForm>(k);
    words.insert(hand_over_word(form));
    CHECK(!hand_over_words(form).empty());
  }
  CHECK(words.size() == hand_over_form_count);
}

TEST_CASE("another form is offered under its own name, a typed name keeps its stem") {
  Session s = handing(HandOverForm::wall_card);
  CHECK(s.hand_over.path == "/club/" + s.plan.title + ", wall card.pdf");
  s = after(s, {ChooseHandOver{HandOverForm::page}});
  CHECK(s.hand_over.path == "/club/" + s.plan.title + ", page.html");
  s = after(s, {TypeHandOver{"/club/v1.2 for Ada.html"}, ChooseHandOver{HandOverForm::film}});
  CHECK(s.hand_over.path == "/club/v1.2 for Ada.mp4");
  s = after(s, {TypeHandOver{"no ending"}, ChooseHandOver{HandOverForm::model}});
  CHECK(s.hand_over.path == "no ending.glb");
}

TEST_CASE("what is seen is what is made") {
  Session s = handing(HandOverForm::moment);
  s = after(s, {ChooseRung{3}, Seek{0.31}, ChooseCamera{CameraKind::above}});
  const std::vector<std::string> picture = hand_over_arguments(s, "plan.json");
  CHECK(picture[0] == "draw");
  CHECK(picture[1] == "plan.json");
  CHECK(has(picture, "--rung", "3"));
  CHECK(has(picture, "--time", "0.31"));
  CHECK(has(picture, "--camera", "above"));
  CHECK(has(picture, "--output", s.hand_over.path));
  s = after(s, {ChooseHandOver{HandOverForm::page}});
  const std::vector<std::string> page = hand_over_arguments(s, "plan.json");
  CHECK(page[0] == "share");
  CHECK(std::find(page.begin(), page.end(), "--simulated") != page.end());
  s.flown_by_logged = "Ada";
  CHECK(has(hand_over_arguments(s, "plan.json"), "--athlete-name", "Ada"));
  s.flown_by_logged.clear();
  s = after(s, {ChooseHandOver{HandOverForm::walk_film}});
  const std::vector<std::string> walk = hand_over_arguments(s, "plan.json");
  CHECK(std::find(walk.begin(), walk.end(), "--walk") != walk.end());
  CHECK(std::find(walk.begin(), walk.end(), "--camera") == walk.end());
  CHECK(std::find(walk.begin(), walk.end(), "--progress") != walk.end());
}

TEST_CASE("while something is being made nothing about it changes, and only then can it be cancelled") {
  Session s = handing(HandOverForm::film);
  const std::string path = s.hand_over.path;
  CHECK(apply(s, StartHandOver{}, library()).request.kind == Request::Kind::start_hand_over);
  CHECK(apply(s, CancelHandOver{}, library()).request.kind == Request::Kind::none);
  s = after(s, {HandOverNews{true, 40}, ChooseHandOver{HandOverForm::sheet}, TypeHandOver{"other.mp4"}});
  CHECK(s.hand_over.form == HandOverForm::film);
  CHECK(s.hand_over.path == path);
  CHECK(s.hand_over.percent == 40);
  CHECK(apply(s, StartHandOver{}, library()).request.kind == Request::Kind::none);
  CHECK(apply(s, CancelHandOver{}, library()).request.kind == Request::Kind::cancel_hand_over);
}
