#include "session_keeper.hpp"

#include <algorithm>
#include <filesystem>
#include <utility>

#include "format/file.hpp"
#include "format/plan_file.hpp"
#include "format/shape_file.hpp"
#include "format/vocabulary_file.hpp"

namespace halfturn {
namespace {

constexpr std::size_t most_simulated = 60;  // rungs of a climb; a longer one stays drawn

std::string file_name_of(const Plan& plan) {
  std::string name = plan.title;
  for (char& c : name) {
    if (c == '/' || c == '\0') c = ' ';
  }
  return name + ".json";
}

/// Also when it may not be read.
bool file_exists(const std::string& path) {
  std::error_code unknown;
  return std::filesystem::exists(path, unknown);
}

}  // namespace

Result<Session> start_session(const std::string& path, const Library& library, const Settings& settings,
                              std::vector<std::string> recent) {
  Result<PlanFile> file = path.empty() ? Result<PlanFile>(demo_plan()) : load_plan(path);
  if (!file) return file.problem();
  Result<Session> opened = open_session(*file, path, library, settings);
  if (!opened) return opened.problem();
  Session session = std::move(opened).value();
  session.recent = std::move(recent);
  if (!path.empty()) {
    std::erase(session.recent, path);
    session.recent.insert(session.recent.begin(), path);
  }
  return session;
}

SessionKeeper::SessionKeeper(Session session, UserFiles files, const Theme* lent_theme,
                             ClassKeeper class_keeper, std::function<void()> wake, MeasureOptions record)
    : library_{built_in_vocabulary(), built_in_difficulty()},
      session_(std::move(session)),
      files_(std::move(files)),
      lent_theme_(lent_theme != nullptr ? std::optional(*lent_theme) : std::nullopt),
      own_theme_(files_.settings.theme),
      cache_(embedded_shapes()),
      stage_caches_{cache_, cache_, cache_, cache_},
      flyer_(make_flyer(Athlete{}, embedded_shapes())),
      worker_(wake, 1),
      class_keeper_(std::move(class_keeper)),
      spread_keeper_(wake),
      hand_over_(wake),
      recording_keeper_(std::move(record), std::move(wake)) {}

bool SessionKeeper::apply_pending() {
  bool changed = false;
  std::vector<Edit> edits;
  while (!pending_.empty()) {
    edits.swap(pending_);
    for (const Edit& edit : edits) {
      changed = changed || !std::holds_alternative<Tick>(edit);
      const Sheet sheet = session_.sheet;
      const std::string folder = session_.folder;
      Applied applied = apply(std::move(session_), edit, library_);
      session_ = std::move(applied.session);
      if (session_.sheet != sheet || session_.folder != folder) on_sheet(sheet);
      do_request(applied.request);
    }
    edits.clear();
  }
  if (auto told = class_keeper_.gates(session_))
    session_ = apply(std::move(session_), *told, library_).session;
  if (auto told = spread_keeper_.news(session_, class_keeper_)) {
    session_ = apply(std::move(session_), *told, library_).session;
    changed = true;
  }
  for (Edit& edit : hand_over_.news()) {
    session_ = apply(std::move(session_), edit, library_).session;
    changed = true;
  }
  if (auto told = recording_keeper_.news(session_, class_keeper_.whose(session_))) {
    session_ = apply(std::move(session_), *told, library_).session;
    changed = true;
  }
  if (session_.settings != files_.settings || session_.recent != files_.recent) keep_user_files();
  changed = take_simulations() || changed;
  const double duration = cursor_length();
  if (duration != session_.duration)
    session_ = apply(std::move(session_), FlightLength{duration}, library_).session;
  return changed;
}

std::vector<Flight> SessionKeeper::stage_flights() {
  std::vector<Flight> flights;
  for (std::size_t i = 0; i < session_.stages.size(); ++i) {
    const ComparedStage& stage = session_.stages[i];
    const RecordedAttempt* attempt = session_.recorded_now();
    if (stage.source == FlightSource::recorded && attempt != nullptr) {
      flights.push_back(attempt->flight);
      continue;
    }
    // A rung of the same climb has its flight there, whoever made it.
    FlightCache& cache = stage.ladder == session_.ladder ? cache_ : stage_caches_[i];
    flights.push_back(stage.source == FlightSource::drawn ? cache.drawn(*stage.ladder, stage.rung)
                                                          : cache.flight(*stage.ladder, stage.rung));
  }
  return flights;
}

const std::vector<std::optional<Flight>>& SessionKeeper::chain_flights() {
  if (flown_chain_ != session_.chain) {
    flown_chain_ = session_.chain;
    chain_flights_.clear();
    if (flown_chain_) {
      for (const ChainStop& stop : flown_chain_->stops)
        chain_flights_.push_back(stop.rung ? std::optional(drawn_flight(*stop.rung, *flyer_.shapes))
                                           : std::nullopt);
    }
  }
  return chain_flights_;
}

/// How long the cursor runs, s: the flight, or the longest of those that are compared by time.
double SessionKeeper::cursor_length() {
  if (session_.stages.empty()) return flight(session_.rung).duration();
  return compared_duration(*session_.look.comparison, stage_flights());
}

/// Asks for the simulated flights of a new plan and takes those that have come. True when there were any.
bool SessionKeeper::take_simulations() {
  // The chosen athlete of the logbook flies, where its height and mass are known.
  bool another = false;
  if (flyer_reading_ != class_keeper_.readings()) {
    flyer_reading_ = class_keeper_.readings();
    const Flyer chosen = flyer_of(class_keeper_.watched().profile);
    another = chosen.athlete != flyer_.athlete || chosen.whose != flyer_.whose;
    if (another) flyer_ = chosen;
  }
  if (!simulated_ || *simulated_ != session_.plan || another) {
    simulated_ = session_.plan;
    why_drawn_.assign(session_.ladder->rungs.size(), {});
    air_.assign(session_.ladder->rungs.size(), {});
    if (another) cache_ = FlightCache(*flyer_.shapes);
    static_cast<void>(flight(session_.rung));  // the cache belongs to this plan from now on
    tell_air();
    if (session_.ladder->rungs.size() <= most_simulated) worker_.ask(session_.ladder, flyer_, session_.rung);
  }
  const std::vector<SimulationWorker::Done> come = worker_.take();
  for (const SimulationWorker::Done& done : come) {
    const Rung& rung = session_.ladder->rungs[done.rung];
    cache_.put(session_.plan, done.rung, shown_flight(rung, *done.simulation, *flyer_.shapes));
    if (!flies_simulated(*done.simulation)) why_drawn_[done.rung] = flight_label(*done.simulation);
    if (done.simulation->air_time_needed_s)
      air_[done.rung] = AirShown{*done.simulation->air_time_needed_s, done.simulation->air_time_margin_s};
  }
  if (!come.empty()) tell_air();
  // Said once, when the rung is looked at.
  if (!why_drawn_[session_.rung].empty()) push(Notice{std::exchange(why_drawn_[session_.rung], {}), false});
  return !come.empty();
}

/// Puts into the session whose flights it shows and what they say of the air.
void SessionKeeper::tell_air() {
  const std::string logged = flyer_.athlete == Athlete{} ? "" : class_keeper_.watched().profile.name;
  session_ = apply(std::move(session_), ShowAir{air_, flyer_.whose, logged}, library_).session;
}

/// Reads what a newly opened page shows from the disk.
void SessionKeeper::on_sheet(Sheet before) {
  if (session_.folder.empty()) session_.folder = first_folder();
  if (session_.sheet == Sheet::board && before != Sheet::board) push(class_keeper_.board(session_));
  if (session_.sheet == Sheet::athletes && before != Sheet::athlete) {
    for (Edit& edit : class_keeper_.athletes()) push(std::move(edit));
  }
  if (session_.sheet == Sheet::open) {
    entries_ = list_folder(session_.folder);
    if (before != Sheet::open) session_.typed_path = session_.folder + "/";
  }
  if (session_.sheet == Sheet::hand_over && before != Sheet::hand_over && !session_.hand_over.running) {
    // Beside the plan, under a name of its own for every rung.
    HandOver offered;
    offered.path = session_.path.empty()
                       ? session_.folder + "/"
                       : std::filesystem::path(full_path(session_.path)).parent_path().string() + "/";
    session_.hand_over.path = hand_over_path(session_, offered, session_.hand_over.form);
  }
  if (session_.sheet == Sheet::save_as && before != Sheet::save_as) {
    session_.typed_path =
        session_.path.empty() ? session_.folder + "/" + file_name_of(session_.plan) : session_.path;
  }
  replace_.clear();
}

void SessionKeeper::do_request(const Request& request) {
  switch (request.kind) {
    case Request::Kind::none:
      break;
    case Request::Kind::open:
      open(request.path);
      break;
    case Request::Kind::save:
      save(full_path(request.path));
      break;
    case Request::Kind::log_attempt:
    case Request::Kind::undo_attempt:
    case Request::Kind::keep_attendance:
      for (Edit& edit : class_keeper_.answer(request, session_)) push(std::move(edit));
      break;
    case Request::Kind::choose_board_rung:
      for (Edit& edit : class_keeper_.choose_rung(static_cast<std::size_t>(request.number), session_))
        push(std::move(edit));
      break;
    case Request::Kind::edit_athlete:
      for (Edit& edit : class_keeper_.athlete_form(request.number)) push(std::move(edit));
      break;
    case Request::Kind::save_athlete:
      for (Edit& edit : class_keeper_.save_athlete(session_)) push(std::move(edit));
      break;
    case Request::Kind::start_hand_over:
      start_hand_over();
      break;
    case Request::Kind::cancel_hand_over:
      hand_over_.cancel();
      break;
    case Request::Kind::open_record:
      recording_keeper_.open(request.path.empty() ? "" : full_path(request.path));
      break;
    case Request::Kind::answer_record:
      recording_keeper_.answer(request.path, request.words);
      break;
    case Request::Kind::mark_record:
      recording_keeper_.mark(request.marks);
      break;
    case Request::Kind::log_record:
      for (Edit& edit : class_keeper_.log_measured(request.outcome, session_)) push(std::move(edit));
      break;
    case Request::Kind::quit:
      keep_view();
      quit_ = true;
      break;
  }
}

void SessionKeeper::open(const std::string& typed) {
  const std::string path = typed.empty() ? "" : full_path(typed);
  Result<Session> next = start_session(path, library_, session_.settings, session_.recent);
  if (!next) {
    push(Notice{next.problem().message(), true});
    return;
  }
  keep_view();
  Session before = std::move(session_);
  session_ = std::move(next).value();
  session_.folder = std::move(before.folder);
  session_.board = std::move(before.board);
}

void SessionKeeper::save(const std::string& path) {
  if (path != session_.path && replace_ != path && file_exists(path)) {
    replace_ = path;
    push(Notice{"there is a file of that name: save again to replace it", true});
    return;
  }
  replace_.clear();
  const PlanFile file = plan_file(session_);
  if (const Outcome problem = write_file(path, write_plan(file))) {
    push(Notice{problem->message(), true});
  } else {
    push(Saved{path, file.plan});
  }
}

void SessionKeeper::start_hand_over() {
  HandOver& wanted = session_.hand_over;
  if (wanted.path.empty() || wanted.path.back() == '/') return push(Notice{"the file needs a name", true});
  wanted.path = full_path(wanted.path);
  if (replace_ != wanted.path && file_exists(wanted.path)) {
    replace_ = wanted.path;
    return push(Notice{"there is a file of that name: make it again to replace it", true});
  }
  replace_.clear();
  if (const Outcome problem = hand_over_.start(session_, class_keeper_.path()))
    return push(Notice{problem->message(), true});
  push(Notice{"", false});
  push(HandOverNews{true, -1});
}

/// A plan reopens as it was left: the view goes into its file, as long as the plan there is the one shown.
void SessionKeeper::keep_view() {
  if (session_.path.empty() || session_.dirty()) return;
  const Result<PlanFile> on_disk = load_plan(session_.path);
  if (!on_disk || on_disk->plan != session_.plan || on_disk->view == view_json(session_)) return;
  // A folder that cannot be written keeps the old view; nothing of the plan is lost by it.
  static_cast<void>(write_file(session_.path, write_plan(plan_file(session_))));
}

void SessionKeeper::keep_user_files() {
  files_ = {session_.settings, session_.recent};
  UserFiles kept = files_;
  if (lent_theme_ && kept.settings.theme == *lent_theme_) kept.settings.theme = own_theme_;
  const Outcome problem = write_user_files(kept);
  if (problem && !told_unwritable_) {
    told_unwritable_ = true;
    push(Notice{"settings are not kept: " + problem->message(), true});
  }
}

}  // namespace halfturn
