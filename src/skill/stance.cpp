#include "skill/stance.hpp"
