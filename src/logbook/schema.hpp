#pragma once

#include <cstdint>

#include "database.hpp"

namespace halfturn {

/// Marks a file as a logbook in its header: "HTLB".
inline constexpr std::int64_t logbook_application_id = 0x48544C42;
/// Version of the tables this program writes.
[[nodiscard]] std::int64_t newest_schema();
/// Brings the tables from `version` to the newest, all or nothing; 0 is an empty file.
[[nodiscard]] Outcome migrate(const Database& database, std::int64_t version);

}  // namespace halfturn
