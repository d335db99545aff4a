/* How evenly the strands of a kind are tensioned. In N. */
#ifndef SELVAGE_MECHANICS_EVENNESS_H
#define SELVAGE_MECHANICS_EVENNESS_H

#include "frame/frame.h"

struct evenness {
    double mean, least, most;
    double deviation; /* root of the mean square of what each differs from the mean */
    int count;        /* strands; with none the rest is 0 */
};

/* Of a value by strand, over the strands of a kind of which `counts` is true; NULL: all. */
struct evenness evenness_of(const struct frame *frame, enum kind kind, const double *by_strand,
                            const bool *counts);

#endif
