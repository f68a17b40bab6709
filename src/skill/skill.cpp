#include "skill/skill.hpp"
