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

bool pulled_before_knot(const struct pattern *pattern, int strand) {
    int e = pattern->end_of[strand];
    if (e == NO_END) return false;
    const struct end *end = &pattern->ends[e];
    return end->tie.given && pattern->pass_of[strand] == (int)end->passes.count - 1;
}
