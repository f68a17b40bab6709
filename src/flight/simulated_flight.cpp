#include "flight/simulated.hpp"
