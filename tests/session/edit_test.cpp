#include "sample.hpp"

using namespace halfturn;

TEST_CASE("apply is pure: the same session and edit give the same result, the old session stays") {
  const Session before = sample_session();
  const Edit edits[] = {ChooseTarget{720}, ChooseStep{45}, SplitStep{2}, ChooseBase{"front flip"},
                        ChooseRung{3}};
  for (const Edit& edit : edits) {
    const Session one = apply(before, edit, library()).session;
    const Session two = apply(before, edit, library()).session;
    CHECK(one.plan == two.plan);
    CHECK(one.rung == two.rung);
    CHECK(before.plan == sample_session().plan);
    CHECK(before.rung == sample_session().rung);
  }
}

TEST_CASE("the ladder is always the plan's") {
  const Session s = after(sample_session(), {ChooseTarget{540}, ChooseStep{180}});
  CHECK(s.ladder->plan == s.plan);
  CHECK(s.ladder->rungs.size() == 4);  // 0, 180, 360, 540
  CHECK(s.ladder->rungs.back().twist_deg == 540);
}

TEST_CASE("undo and redo give back plan values, one step for a drag") {
  const Session start = sample_session();
  Session s = after(start, {SplitStep{1}, ChooseTarget{540}});
  const Plan last = s.plan;
  s = after(s, {Undo{}, Undo{}});
  CHECK(s.plan == start.plan);
  CHECK(after(s, {Undo{}}).plan == start.plan);
  s = after(s, {Redo{}, Redo{}});
  CHECK(s.plan == last);

  Plan turned = start.plan;
  std::vector<Edit> drag{BeginDrag{}};
  for (int k = 1; k <= 30; ++k) {
    turned.held_heading_deg = k;
    drag.push_back(ChoosePlan{turned});
  }
  drag.push_back(EndDrag{});
  s = after(start, drag);
  CHECK(s.plan.held_heading_deg == 30);
  CHECK(s.history.undo.size() == 1);
  CHECK(after(s, {Undo{}}).plan == start.plan);
  CHECK(after(s, {Undo{}, SplitStep{1}}).history.redo.empty());
  CHECK(after(start, {BeginDrag{}, EndDrag{}}).history.undo.empty());
}

TEST_CASE("a step splits in halves, the larger first") {
  CHECK(steps_of(after(sample_session(), {SplitStep{2}})) == std::vector<double>{90, 45, 45, 90, 90});
  CHECK(steps_of(after(sample_session(), {SplitStep{2}, SplitStep{2}})) ==
        std::vector<double>{90, 23, 22, 45, 90, 90});
  const Session s = after(sample_session(), {ChooseStep{1}, SplitStep{1}});
  CHECK(s.plan.steps.size() == 360);
  CHECK(s.notice_is_problem);
}

TEST_CASE("a new target keeps the steps below it and fills up with the usual one") {
  CHECK(steps_of(after(sample_session(), {ChooseTarget{450}})) == std::vector<double>{90, 90, 90, 90, 90});
  CHECK(steps_of(after(sample_session(), {ChooseTarget{200}})) == std::vector<double>{90, 90, 20});
  CHECK(steps_of(after(sample_session(), {ChooseStep{180}, ChooseTarget{720}})) ==
        std::vector<double>{180, 180, 180, 180});
}

TEST_CASE("what gives no ladder is refused in words and changes nothing") {
  const Session start = sample_session();
  Plan bad = start.plan;
  bad.base = "no such skill";
  const Session s = after(start, {ChoosePlan{bad}});
  CHECK(s.plan == start.plan);
  CHECK(s.history.undo.empty());
  CHECK(s.notice_is_problem);
  CHECK_FALSE(s.notice.empty());
  CHECK(after(start, {ChooseTarget{99999}}).plan == start.plan);
}

TEST_CASE("every base of the vocabulary can be chosen from every other") {
  for (const Skill& from : library().vocabulary.skills) {
    const Session first = after(sample_session(), {ChooseBase{from.name}});
    REQUIRE(first.plan.base == from.name);
    for (const Skill& to : library().vocabulary.skills) {
      CAPTURE(from.name);
      CAPTURE(to.name);
      const Session second = after(first, {ChooseBase{to.name}});
      CHECK(second.plan.base == to.name);
      CHECK(second.ladder->rungs.size() >= 2);
    }
  }
}

TEST_CASE("a rung keeps the cursor's share of the flight and stays within the climb") {
  Session s = after(sample_session(), {Seek{0.35}});
  const double share = s.playback.t / s.duration;
  s = after(s, {ChooseRung{99}});
  CHECK(s.rung == 4);
  CHECK(s.playback.t / s.duration == doctest::Approx(share));
  CHECK(after(s, {ChooseStep{180}}).rung == 2);
}

TEST_CASE("unsaved changes are never left without asking") {
  const Session clean = sample_session();
  CHECK(apply(clean, Quit{}, library()).request.kind == Request::Kind::quit);
  const Session dirty = after(clean, {SplitStep{1}});
  CHECK(dirty.dirty());
  const Applied asked = apply(dirty, Quit{}, library());
  CHECK(asked.request.kind == Request::Kind::none);
  CHECK(asked.session.sheet == Sheet::unsaved);
  CHECK(apply(asked.session, Discard{}, library()).request.kind == Request::Kind::quit);
  const Applied saving = apply(asked.session, SaveFile{"/x/plan.json"}, library());
  CHECK(saving.request.kind == Request::Kind::save);
  // Only once the file is written does it go on.
  CHECK(apply(saving.session, Saved{"/x/plan.json", saving.session.plan}, library()).request.kind ==
        Request::Kind::quit);
  const Applied open = apply(dirty, OpenFile{"other.json"}, library());
  CHECK(open.request.kind == Request::Kind::none);
  const Applied go = apply(open.session, Discard{}, library());
  CHECK(go.request.kind == Request::Kind::open);
  CHECK(go.request.path == "other.json");
  // Staying here forgets the leave.
  const Session stayed = after(asked.session, {ShowSheet{Sheet::none}});
  CHECK(apply(stayed, Saved{"/x/plan.json", stayed.plan}, library()).request.kind == Request::Kind::none);
}

TEST_CASE("what changes while a file is written is not taken for saved") {
  const Session before = sample_session();
  const Session after_it = after(before, {SplitStep{1}, Saved{"/x/plan.json", before.plan}});
  CHECK(after_it.dirty());
  CHECK(after_it.path == "/x/plan.json");
}

TEST_CASE("undo goes on after a field that was left while it was typed in") {
  Session s =
      after(sample_session(), {ShowSheet{Sheet::plan}, BeginDrag{}, SplitStep{1}, ShowSheet{Sheet::none}});
  const Plan split = s.plan;
  s = after(std::move(s), {SplitStep{1}, Undo{}});
  CHECK(s.plan == split);
  s = after(std::move(s), {Undo{}});
  CHECK(s.plan == sample_session().plan);
}

TEST_CASE("a quit that was asked for is remembered through the page that saves") {
  const Session asked =
      after(sample_session(), {SplitStep{1}, Quit{}, SaveFile{""}, ShowSheet{Sheet::unsaved}});
  CHECK(apply(asked, Discard{}, library()).request.kind == Request::Kind::quit);
}

TEST_CASE("a plan never saved is saved under a name before it is left") {
  const Session asked = after(sample_session(), {SplitStep{1}, Quit{}});
  const Applied save = apply(asked, SaveFile{""}, library());
  CHECK(save.session.sheet == Sheet::save_as);
  const Applied named = apply(save.session, SaveFile{"/x/plan.json"}, library());
  CHECK(named.request.kind == Request::Kind::save);
  CHECK(apply(named.session, Saved{"/x/plan.json", named.session.plan}, library()).request.kind ==
        Request::Kind::quit);
}

TEST_CASE("undoing back to what is on disk is clean again") {
  CHECK_FALSE(after(sample_session(), {SplitStep{1}, Undo{}}).dirty());
}
