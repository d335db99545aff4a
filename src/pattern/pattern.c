/* Look-ups in the pattern model. */
#include "pattern/pattern.h"

int pattern_end(const struct pattern *pattern, enum end_name name) {
    for (int i = 0; i < pattern->end_count; i++)
        if (pattern->ends[i].name == name) return i;
    return NO_END;
}

int other_end(const struct pattern *pattern, int end) {
    for (int i = 0; i < pattern->end_count; i++)
        if (i != end && pattern->ends[i].string == pattern->ends[end].string) return i;
    return NO_END;
}
