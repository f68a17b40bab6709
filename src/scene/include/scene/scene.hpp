#pragma once

namespace halfturn {

/// The picture as plain data.
struct Scene {};

}  // namespace halfturn
