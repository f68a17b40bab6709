#include "skill/difficulty.hpp"
