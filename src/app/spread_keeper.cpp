#include "spread_keeper.hpp"

#include "format/vocabulary_file.hpp"
#include "ladder/spread_fit.hpp"

namespace halfturn {
namespace {

constexpr std::size_t flights = 8192;

/// One piece of work after another: the program has other threads that draw and simulate.
void in_turn(std::size_t count, const std::function<void(std::size_t)>& work) {
  for (std::size_t i = 0; i < count; ++i) work(i);
}

}  // namespace

std::optional<Edit> SpreadKeeper::news(const Session& session, const ClassKeeper& keeper) {
  if (!session.wants_spread()) return std::nullopt;
  const bool same = asked_ && asked_->plan == session.plan && asked_->rung == session.rung &&
                    asked_->question.threshold == session.spread_threshold &&
                    asked_reading_ == keeper.readings();
  if (same) {
    std::optional<std::shared_ptr<const SpreadShown>> answer = job_.take();
    if (!answer) return std::nullopt;
    return ShowSpread{std::move(*answer)};
  }
  auto asked = std::make_shared<SpreadShown>();
  asked->plan = session.plan;
  asked->rung = session.rung;
  asked->question.flights = flights;
  asked->question.threshold = session.spread_threshold;
  asked_ = asked;
  asked_reading_ = keeper.readings();
  job_.ask([asked = asked_, ladder = session.ladder, athlete = keeper.watched()] {
    auto shown = std::make_shared<SpreadShown>(*asked);
    const Flyer flyer = flyer_of(athlete.profile);
    const bool own = body_of(athlete.profile).has_value();
    shown->body = own ? athlete.profile.name : "an average adult";
    const SpreadFit fit = fit_spread(*ladder, athlete.records, flyer, shown->question.spread,
                                     athlete.profile.air_time_spread_s, in_turn);
    shown->question.spread = fit.spread;
    shown->source = fit_words(fit);
    shown->answer = answer_spread(*ladder, shown->rung, flyer, shown->question, built_in_vocabulary(),
                                  built_in_difficulty(), in_turn);
    return std::shared_ptr<const SpreadShown>(std::move(shown));
  });
  return ShowSpread{asked_};
}

}  // namespace halfturn
