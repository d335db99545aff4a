/* Mean, extremes and deviation. */
#include "mechanics/evenness.h"

#include <math.h>

struct evenness evenness_of(const struct frame *frame, enum kind kind, const double *by_strand,
                            const bool *counts) {
    struct evenness even = {0};
    double sum = 0, squares = 0;
    for (int i = 0; i < frame->strand_count; i++) {
        if (frame->strands[i].kind != kind || (counts != NULL && !counts[i])) continue;
        double value = by_strand[i];
        if (even.count == 0 || value < even.least) even.least = value;
        if (even.count == 0 || value > even.most) even.most = value;
        sum += value;
        even.count++;
    }
    if (even.count == 0) return even;
    even.mean = sum / even.count;
    for (int i = 0; i < frame->strand_count; i++) {
        if (frame->strands[i].kind != kind || (counts != NULL && !counts[i])) continue;
        squares += (by_strand[i] - even.mean) * (by_strand[i] - even.mean);
    }
    even.deviation = sqrt(squares / even.count);
    return even;
}
