/* The best ways to string a pattern, as they are listed. */
#ifndef SELVAGE_EMIT_WAYS_H
#define SELVAGE_EMIT_WAYS_H

#include "emit/emit.h"

struct listed_way {
    const struct pattern *pattern; /* with this way's legs, through every stage */
    const int64_t *cost;           /* by aim; lengths in thousandths of a mm */
    enum place mains_from, crosses_from;
};

struct listed_ways {
    const struct pattern *asked;   /* as it was compiled */
    const struct pattern *written; /* the same where its own legs are written; else NULL */
    struct listed_way at[SELVAGE_MOST_WAYS];
    int count;
    bool proved;   /* nothing is better than the first */
    bool complete; /* ... and of each kind it is the best; else a limit cut the search short */
    long nodes;
};

void emit_ways(const struct listed_ways *ways, enum selvage_comparison form, struct output *out);

#endif
