#pragma once

#include <array>
#include <string_view>

namespace halfturn {

/// Mean body whose proportions are scaled to an athlete.
enum class SegmentTableKind : unsigned char { male, female };
[[nodiscard]] std::string_view segment_table_word(SegmentTableKind kind);

/// One segment of the table: length in m of the mean subject, mass as a share of the body, the rest as shares
/// of the length: centre of mass from the first end point, radii of gyration about the centre of mass about
/// the fore-aft (sagittal), side-to-side (transverse) and own long (longitudinal; foot: heel to toe) axis.
struct SegmentParameters {
  std::string_view name, from, to;
  double length, mass, com, r_sagittal, r_transverse, r_longitudinal;
};

/// The parts of one mean subject. Masses of head, trunk and both limbs add up to `mass_sum`, not quite 1.
struct SegmentTable {
  double height, mass;  ///< of the mean subject: m, kg
  SegmentParameters head, upper_trunk, middle_trunk, lower_trunk, upper_arm, forearm, hand, thigh, shank,
      foot;
  double shoulder_height;  ///< from the middle between the hips up to the middle between the shoulders, m
  [[nodiscard]] double mass_sum() const;
};

/// P. de Leva (1996), Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters, J. Biomech. 29(9),
/// 1223-1230, Table 4.
[[nodiscard]] const SegmentTable& segment_table(SegmentTableKind kind);

}  // namespace halfturn
