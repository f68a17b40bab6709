#include "format/chain_json.hpp"

namespace halfturn {
namespace {

Json or_null(const std::optional<double>& value) {
  return value ? Json(*value) : Json(nullptr);
}

Json stop_json(const ChainStop& stop) {
  return {{"title", stop.title},
          {"is_skill", stop.is_skill},
          {"turn_deg", stop.turn_deg},
          {"start",
           {{"heading_deg", stop.start_heading_deg},
            {"stance", stop.start_stance},
            {"feet", stop.start_feet},
            {"x_m", stop.start_x},
            {"z_m", stop.start_z}}},
          {"end",
           {{"heading_deg", stop.end_heading_deg},
            {"stance", stop.end_stance},
            {"feet", stop.end_feet},
            {"kind", stop.landing_kind.empty() ? Json(nullptr) : Json(stop.landing_kind)},
            {"x_m", stop.end_x},
            {"z_m", stop.end_z}}},
          {"travels_deg", or_null(stop.enters_deg)},
          {"carries_deg", or_null(stop.carries_deg)},
          {"start_s", stop.start_s},
          {"duration_s", stop.duration_s}};
}

}  // namespace

Json chain_json(const ChainRun& run) {
  Json json;
  json["fits"] = run.fits();
  json["mark_deg"] = run.mark_deg;
  json["duration_s"] = run.duration();
  json["stops"] = Json::array();
  for (const ChainStop& stop : run.stops) json["stops"].push_back(stop_json(stop));
  json["joints"] = Json::array();
  for (const ChainJoint& joint : run.joints)
    json["joints"].push_back(
        {{"fits", joint.fits()}, {"mismatches", joint.mismatches}, {"mends", joint.mends}});
  json["caution"] = ladder_caution;
  return json;
}

}  // namespace halfturn
