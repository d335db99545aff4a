/* What a planned pattern comes to in figures, for holding two of them side by side. Lengths in mm,
 * forces in N, times in s. */
#ifndef SELVAGE_PATTERN_FIGURES_H
#define SELVAGE_PATTERN_FIGURES_H

#include "pattern/pattern.h"

enum cross_order { CROSSES_MIXED, CROSSES_FROM_HEAD, CROSSES_FROM_THROAT };

struct figures {
    int loops;
    double loops_length, loop_longest;
    int loops_pass; /* holes passed by all loops together */
    int loops_over; /* loops that lie over others */
    /* Loops of one end in a row that lie in different lanes; the fold comes first for both ends of
     * its piece. */
    int lane_changes;

    double cut[2], cut_all; /* by piece, and together */
    int knots;              /* starts counted */
    double knots_way;       /* from the last hole of each end to its knot */
    int end_changes;

    int mains_woven, crosses_woven;
    int weave_most; /* strands crossed by one strand when it is woven */
    /* Over every strand woven: the strands it crosses, times the string its end still has beyond
     * it: later strands, walls and loops, the tail and the reach to the tensioner. */
    double drawn;
    double time;

    enum cross_order order;       /* in which the crosses are pulled ... */
    bool but_skipped;             /* ... leaving out those the pattern skips */
    double least_pull, most_pull; /* as the tensioner is set */
};

struct figures figures_of(const struct pattern *pattern, struct arena *arena);

#endif
