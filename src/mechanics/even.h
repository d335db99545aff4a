/* Pulls that leave all mains alike and all crosses alike once the racket is off the machine, while
 * the mean pull of the mains and that of the crosses stay as they were. */
#ifndef SELVAGE_MECHANICS_EVEN_H
#define SELVAGE_MECHANICS_EVEN_H

#include "mechanics/evenness.h"
#include "mechanics/job.h"

struct pull_limits {
    double step;        /* a tensioner is set by, N; 0: any pull */
    double least, most; /* N; 0: none */
};

/* Off the machine. */
struct bed_evenness {
    struct evenness mains, crosses;
};

enum even_result {
    EVEN_FOUND,
    EVEN_DID_NOT_SETTLE, /* what touches what went on changing; the best so far is given */
    EVEN_IMPOSSIBLE      /* some strand is never pulled, or would have to push */
};

struct even {
    enum even_result result;
    double *exact, *rounded; /* pulls by strand, N; 0 for those the job does not pull */
    struct bed_evenness before, after, after_rounding;
    int limited; /* strands whose pull a limit has changed, so that they are not alike */
};

/* Every pull of a strand, and every pull again, gets the one tension that is looked for. */
const struct even *even_pulls(const struct machine *machine, struct job job,
                              struct pull_limits limits, struct arena *arena);

#endif
