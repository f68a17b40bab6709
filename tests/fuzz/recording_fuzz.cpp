// Whatever bytes come, reading and measuring a record ends in measures or in a problem. The first byte says
// which questions are answered beforehand, the rest is the file.
#include <cstdint>
#include <string_view>

#include "format/measure_json.hpp"
#include "format/recording_file.hpp"
#include "measure/measure_record.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace halfturn;
  if (size == 0) return 0;
  const unsigned answered = data[0];
  const std::string_view text(reinterpret_cast<const char*>(data) + 1, size - 1);
  ColumnAnswers columns;
  if (answered & 1) columns.rate_unit_rad_s = columns.length_unit_m = 1;
  Result<Recording> recording = read_recording(text, "record.csv", columns);
  if (!recording) return 0;
  MeasureRequest request;
  if (answered & 2) request.frame.world_up = request.frame.up = SignedAxis{1, 1};
  if (answered & 4) request.frame.forward = SignedAxis{0, 1};
  if (answered & 8) request.frame.flip_toward_deg = 180;
  if (answered & 16) request.frame.rest_reads_down = (answered & 128) != 0;
  if (answered & 32) request.flight = 1;
  if (answered & 64) {
    request.takeoff_s = recording->time.front() + 0.2;
    request.landing_s = recording->time.front() + 0.9;
  }
  Recording record = *std::move(recording);
  const Result<MeasuredRecord> measured = measure_record(record, request);
  if (measured)
    static_cast<void>(measure_json(*measured, record).dump(-1, ' ', false, Json::error_handler_t::replace));
  return 0;
}
