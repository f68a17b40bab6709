#include "ladder/ladder.hpp"
