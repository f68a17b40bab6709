#include "body/segment_table.hpp"

namespace halfturn {
namespace {

// P. de Leva (1996), Table 4, numbers of the main rows, except: head, upper trunk from the tip of the 7th
// neck vertebra (CERV), shank to the ankle joint centre (AJC), hand to the tip of the middle finger (DAC3),
// which are the table's alternatives and fit a chain of joints. Mean subjects: women 1.735 m, 61.9 kg;
// men 1.741 m, 73.0 kg. Shoulder height is the distance MIDS to MIDH of the alternative trunk row.
constexpr SegmentTable female{1.735,
                              61.9,
                              {"head", "VERT", "CERV", 0.2437, 0.0668, 0.4841, 0.271, 0.295, 0.261},
                              {"upper trunk", "CERV", "XYPH", 0.228, 0.1545, 0.505, 0.466, 0.314, 0.449},
                              {"middle trunk", "XYPH", "OMPH", 0.2053, 0.1465, 0.4512, 0.433, 0.354, 0.415},
                              {"lower trunk", "OMPH", "MIDH", 0.1815, 0.1247, 0.492, 0.433, 0.402, 0.444},
                              {"upper arm", "SJC", "EJC", 0.2751, 0.0255, 0.5754, 0.278, 0.26, 0.148},
                              {"forearm", "EJC", "WJC", 0.2643, 0.0138, 0.4559, 0.261, 0.257, 0.094},
                              {"hand", "WJC", "DAC3", 0.1701, 0.0056, 0.3427, 0.244, 0.208, 0.154},
                              {"thigh", "HJC", "KJC", 0.3685, 0.1478, 0.3612, 0.369, 0.364, 0.162},
                              {"shank", "KJC", "AJC", 0.4386, 0.0481, 0.4352, 0.267, 0.263, 0.092},
                              {"foot", "HEEL", "TTIP", 0.2283, 0.0129, 0.4014, 0.299, 0.279, 0.139},
                              0.4979};
constexpr SegmentTable male{1.741,
                            73.0,
                            {"head", "VERT", "CERV", 0.2429, 0.0694, 0.5002, 0.303, 0.315, 0.261},
                            {"upper trunk", "CERV", "XYPH", 0.2421, 0.1596, 0.5066, 0.505, 0.32, 0.465},
                            {"middle trunk", "XYPH", "OMPH", 0.2155, 0.1633, 0.4502, 0.482, 0.383, 0.468},
                            {"lower trunk", "OMPH", "MIDH", 0.1457, 0.1117, 0.6115, 0.615, 0.551, 0.587},
                            {"upper arm", "SJC", "EJC", 0.2817, 0.0271, 0.5772, 0.285, 0.269, 0.158},
                            {"forearm", "EJC", "WJC", 0.2689, 0.0162, 0.4574, 0.276, 0.265, 0.121},
                            {"hand", "WJC", "DAC3", 0.1879, 0.0061, 0.3624, 0.288, 0.235, 0.184},
                            {"thigh", "HJC", "KJC", 0.4222, 0.1416, 0.4095, 0.329, 0.329, 0.149},
                            {"shank", "KJC", "AJC", 0.4403, 0.0433, 0.4395, 0.251, 0.246, 0.102},
                            {"foot", "HEEL", "TTIP", 0.2581, 0.0137, 0.4415, 0.257, 0.245, 0.124},
                            0.5155};

}  // namespace

std::string_view segment_table_word(SegmentTableKind kind) {
  return kind == SegmentTableKind::female ? "female" : "male";
}

const SegmentTable& segment_table(SegmentTableKind kind) {
  return kind == SegmentTableKind::female ? female : male;
}

double SegmentTable::mass_sum() const {
  return head.mass + upper_trunk.mass + middle_trunk.mass + lower_trunk.mass +
         2 * (upper_arm.mass + forearm.mass + hand.mass + thigh.mass + shank.mass + foot.mass);
}

}  // namespace halfturn
